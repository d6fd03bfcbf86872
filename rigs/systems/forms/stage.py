"""Stage microphones."""

from rigs.people.models import Person
from rigs.systems import actions
from rigs.systems.forms.base import PartForm
from rigs.systems.models import StageMicrophone


class MicrophoneForm(PartForm[StageMicrophone]):
    """A microphone at its show place, what it hears and how near its source is."""

    may_be_empty = ("x_m", "y_m", "z_m", "azimuth_deg", "tilt_deg", "pattern")

    class Meta:
        model = StageMicrophone
        fields = [
            "name",
            "x_m",
            "y_m",
            "z_m",
            "azimuth_deg",
            "tilt_deg",
            "pattern",
            "source_m",
            "is_open",
        ]
        help_texts = {
            "name": "As it is called on site: Lectern, Lead vocal.",
            "x_m": "To the right of someone on stage who looks at the audience.",
            "y_m": "Away from the stage into the audience: behind the stage's edge it is negative.",
            "z_m": "Above the floor in front of the stage.",
            "azimuth_deg": "Where its front looks, clockwise seen from above: 0 into the audience, "
            "180 to the back of the stage, towards a singer who faces the audience.",
            "tilt_deg": "Negative looks down.",
            "pattern": "As its data sheet says.",
            "source_m": "From mouth or instrument to the microphone. Without it nothing can be "
            "checked.",
        }

    def act(self, person: Person) -> None:
        actions.save_microphone(self.instance, self.seen, person)
