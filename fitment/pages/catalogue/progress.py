"""How far the worker has come with a workbook. Pure, but for the model it reads."""

from dataclasses import dataclass

from catalog.models import Upload, UploadState

_STATES = {
    UploadState.WAITING: "Waiting for the worker",
    UploadState.CHECKING: "Being checked",
    UploadState.CHECKED: "Checked, not loaded",
    UploadState.REFUSED: "Refused",
    UploadState.LOADING: "Being loaded",
    UploadState.LOADED: "Loaded",
    UploadState.MOVED: "Overtaken by another edition",
    UploadState.FAILED: "Failed",
}
STAGES = ("rows read", "rules checked", "answers compared", "rows written")


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


def state_words(upload: Upload) -> str:
    return _STATES[UploadState(upload.state)]


def progress_of(upload: Upload) -> Progress:
    stage = upload.stage or ("in the queue" if upload.state == UploadState.WAITING else "beginning")
    return Progress(state_words(upload), stage[:1].upper() + stage[1:], upload.done, upload.total)
