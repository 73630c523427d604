"""How far the worker has come with a workbook. Pure, but for the models it reads."""

from dataclasses import dataclass

from catalog.codes import DownloadState, UploadState
from catalog.models import Download, Upload

_STATES: dict[str, str] = {
    UploadState.WAITING: "Waiting for the worker",
    UploadState.CHECKING: "Being checked",
    UploadState.CHECKED: "Checked, not loaded",
    UploadState.REFUSED: "Refused",
    UploadState.LOADING: "Being loaded",
    UploadState.LOADED: "Loaded",
    UploadState.MOVED: "Overtaken by another edition",
    UploadState.FAILED: "Failed",
    DownloadState.WRITING: "Being written",
    DownloadState.READY: "Ready",
}


@dataclass(frozen=True, slots=True)
class Progress:
    """The stage in words, and its bar: `done` of `total`, or a bar without an end where `total` is 0."""

    words: str
    stage: str
    done: int
    total: int

    @property
    def counted(self) -> str:
        """The counts under the bar.

        >>> Progress("Being checked", "Answers compared", 1200, 4000).counted
        '1,200 of 4,000'
        """
        if self.total:
            return f"{self.done:,} of {self.total:,}"
        return f"{self.done:,}" if self.done else ""


def state_words(work: Upload | Download) -> str:
    return _STATES[work.state]


def progress_of(work: Upload | Download) -> Progress:
    stage = work.stage or ("in the queue" if work.state == UploadState.WAITING else "beginning")
    return Progress(state_words(work), stage[:1].upper() + stage[1:], work.done, work.total)
