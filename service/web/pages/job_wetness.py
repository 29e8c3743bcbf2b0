"""What a job's page and the surveyor's sheet say of findings and wetness."""

from __future__ import annotations

from ...acts.wetness import findings, moisture, samples, surface
from ...acts.wetness.findings import FindingView
from ...acts.wetness.moisture import MoistureReadingView
from ...acts.wetness.samples import FilmTestView
from ...acts.wetness.surface import SurfaceNoteView
from ...acts.wetness.wetness import WetnessView, show_wetness
from ...core.frozen import frozen
from ...store.stock.jobs import Job


@frozen
class JobWetness:
    """What was found and measured of a job and not taken back, the earliest first."""

    wetness: WetnessView
    findings: list[FindingView]
    readings: list[MoistureReadingView]
    notes: list[SurfaceNoteView]
    films: list[FilmTestView]

    @property
    def is_empty(self) -> bool:
        """Whether nothing is on record."""
        return not (self.wetness.places or self.readings or self.notes)


def job_wetness(job: Job, now: int) -> JobWetness:
    """What is known of a job's wetness at a moment."""
    return JobWetness(
        show_wetness(job, now),
        findings.standing_findings(job),
        moisture.show_standing(job, now),
        surface.show_standing(job, now),
        samples.standing_films(job),
    )
