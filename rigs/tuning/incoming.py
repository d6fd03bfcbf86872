"""Sound files on their way in: streamed to disk, at most so large, kept while a form is mended."""

import secrets
import time
from pathlib import Path
from typing import IO, Any

from django.conf import settings
from django.core import signing
from django.core.files import File
from django.core.files.move import file_move_safe
from django.core.files.uploadhandler import SkipFile, TemporaryFileUploadHandler

from rigs.tuning.wav import MOST_BYTES

KEPT_SECONDS = 24 * 3600
SALT = "rigs.tuning.incoming"
TOO_LARGE = f"The file has more than {MOST_BYTES // 1_000_000} MB. Send a shorter recording."


class SoundUpload(TemporaryFileUploadHandler):
    """Writes an uploaded file to disk as it comes, and drops it where it grows too large.

    Which field that was stands in the request's `too_large`.
    """

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.received = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes | None:
        self.received += len(raw_data)
        if self.received > MOST_BYTES:
            self.request.too_large = self.field_name  # type: ignore[union-attr]
            raise SkipFile
        return super().receive_data_chunk(raw_data, start)


class SoundFile(File):
    """A file on disk that the storage may move instead of copying it."""

    def temporary_file_path(self) -> str:
        """Where it lies."""
        return str(self.file.name)  # type: ignore[union-attr]


def keep(upload: Any, person_id: int) -> str:
    """Put a sound file aside for a day; the answer is the token that `take` wants."""
    folder = _folder()
    folder.mkdir(parents=True, exist_ok=True)
    _sweep(folder)
    name = secrets.token_hex(16)
    source = getattr(upload, "temporary_file_path", None)
    if source is not None:
        file_move_safe(source(), str(folder / name))
    else:
        with (folder / name).open("wb") as kept:
            for chunk in upload.chunks():
                kept.write(chunk)
    return signing.dumps({"name": name, "person": person_id}, salt=SALT)


def take(token: str, person_id: int) -> SoundFile | None:
    """The file that this person put aside; None where it is gone."""
    try:
        said = signing.loads(token, salt=SALT, max_age=KEPT_SECONDS)
        if said["person"] != person_id:
            return None
        file: IO[bytes] = (_folder() / said["name"]).open("rb")
    except (signing.BadSignature, OSError):
        return None
    return SoundFile(file)


def _folder() -> Path:
    return Path(settings.MEDIA_ROOT) / "incoming"


def _sweep(folder: Path) -> None:
    """Remove what nobody came back for."""
    oldest = time.time() - KEPT_SECONDS
    for path in folder.iterdir():
        if path.stat().st_mtime < oldest:
            path.unlink(missing_ok=True)
