"""The parts of a description by name."""

from dataclasses import dataclass, field

from calc.system import (
    AmplifierPlace,
    AmplifierSheet,
    AudienceArea,
    CableSheet,
    DriveLine,
    LoudspeakerSheet,
    MixerSheet,
    Placement,
    ProcessorAbilities,
    ProcessorOutput,
    ProcessorPlace,
    ProcessorSheet,
    SystemDescription,
    Way,
)


@dataclass(frozen=True, slots=True)
class Lookup:
    """Dictionaries from name to part, and what there is only one of.

    Build it once with `Lookup.of(system)`.
    """

    loudspeakers: dict[str, LoudspeakerSheet]
    amplifiers: dict[str, AmplifierSheet]
    cables: dict[str, CableSheet]
    processors: dict[str, ProcessorSheet]
    amplifier_places: dict[str, AmplifierPlace]
    processor_places: dict[str, ProcessorPlace]
    placements: dict[str, Placement]
    mixer: MixerSheet | None = None
    areas: tuple[AudienceArea, ...] = ()
    outputs: dict[tuple[str, int], ProcessorOutput] = field(default_factory=dict)
    lines: dict[str, DriveLine] = field(default_factory=dict)

    @classmethod
    def of(cls, system: SystemDescription) -> "Lookup":
        """All parts of a description that others refer to."""
        return cls(
            {part.name: part for part in system.loudspeakers},
            {part.name: part for part in system.amplifiers},
            {part.name: part for part in system.cables},
            {part.name: part for part in system.processors},
            {part.name: part for part in system.amplifier_places},
            {part.name: part for part in system.processor_places},
            {part.name: part for part in system.placements},
            system.mixer,
            system.areas,
            {(part.processor, part.output): part for part in system.outputs},
            {part.name: part for part in system.drive_lines},
        )

    def sheet_of(self, placement: str) -> LoudspeakerSheet:
        """The loudspeaker that stands at a placement."""
        return self.loudspeakers[self.placements[placement].sheet]

    def way(self, placement: str, way: str) -> Way:
        """One way of the loudspeaker at a placement."""
        return next(w for w in self.sheet_of(placement).ways if w.name == way)

    def output_of(self, line: DriveLine) -> ProcessorOutput | None:
        """The processor output that feeds a line, where somebody described it."""
        return None if line.output is None else self.outputs.get((line.processor, line.output))

    def abilities_of(self, processor: str) -> ProcessorAbilities:
        """What the processor at a place can be set to; none there: all unknown."""
        place = self.processor_places.get(processor)
        return ProcessorAbilities() if place is None else self.processors[place.sheet].abilities
