"""What `calc` is asked about: one event's sound system, frozen.

Everything refers to everything else by name: a drive line names its amplifier place, the
amplifier place names its sheet. Names are unique within their kind. SI units throughout;
each field's name ends with its unit. Positions are metres in the space's own axes: seen from
above, y points away from the stage into the audience, x to the right of someone who looks
along y, z up. Azimuth 0 looks along y and grows clockwise seen from above (towards +x); tilt is
positive upwards.
"""

from calc.system.description import (
    FORMAT,
    Choices,
    SystemDescription,
)
from calc.system.electronics import (
    AmplifierSheet,
    CableSheet,
    ConductorClass,
    MinimumKind,
    MixerSheet,
    Mode,
    ModeLimits,
    ProcessorSheet,
    Rating,
    RatingSignal,
)
from calc.system.loudspeakers import (
    AxisResponse,
    Balloon,
    ImpedanceCurve,
    LoudspeakerSheet,
    Role,
    SensitivityBasis,
    Way,
)
from calc.system.mains import (
    Circuit,
    ExtraLoad,
    RackFeed,
    Supply,
    Support,
    SupportKind,
)
from calc.system.microphones import (
    Pattern,
    StageMicrophone,
)
from calc.system.processing import (
    Alignment,
    AlignmentKind,
    BesselCorner,
    Dial,
    DialScale,
    Filter,
    FilterFamily,
    FilterKind,
    ListeningSpot,
    MeasuredResponse,
    ProcessorAbilities,
    ProcessorOutput,
    Slope,
    SpotKind,
)
from calc.system.rig import (
    AmplifierPlace,
    DriveLine,
    LimiterBasis,
    Link,
    Placement,
    ProcessorPlace,
)
from calc.system.venue import (
    AreaKind,
    AudienceArea,
    ListeningPlace,
    PlaceKind,
    Room,
    RoomSurface,
    Show,
    Surroundings,
)

__all__ = [
    "FORMAT",
    "Alignment",
    "AlignmentKind",
    "AmplifierPlace",
    "AmplifierSheet",
    "AreaKind",
    "AudienceArea",
    "AxisResponse",
    "Balloon",
    "BesselCorner",
    "CableSheet",
    "Choices",
    "Circuit",
    "ConductorClass",
    "Dial",
    "DialScale",
    "DriveLine",
    "ExtraLoad",
    "Filter",
    "FilterFamily",
    "FilterKind",
    "ImpedanceCurve",
    "LimiterBasis",
    "Link",
    "ListeningPlace",
    "ListeningSpot",
    "LoudspeakerSheet",
    "MeasuredResponse",
    "MinimumKind",
    "MixerSheet",
    "Mode",
    "ModeLimits",
    "Pattern",
    "PlaceKind",
    "Placement",
    "ProcessorAbilities",
    "ProcessorOutput",
    "ProcessorPlace",
    "ProcessorSheet",
    "RackFeed",
    "Rating",
    "RatingSignal",
    "Role",
    "Room",
    "RoomSurface",
    "SensitivityBasis",
    "Show",
    "Slope",
    "SpotKind",
    "StageMicrophone",
    "Supply",
    "Support",
    "SupportKind",
    "Surroundings",
    "SystemDescription",
    "Way",
]
