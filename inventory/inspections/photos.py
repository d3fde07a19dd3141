"""A photo as it is kept: decoded and written anew, so that nothing else than the picture comes along."""

import io

from django.core.files.uploadedfile import UploadedFile
from PIL import Image, ImageOps, UnidentifiedImageError

FORMATS = ("JPEG", "PNG", "WEBP")
LARGEST_FILE = 20 * 1024 * 1024
MOST_PIXELS = 64_000_000
"""A phone's picture has 12 to 50 million; a small file can unpack to far more and fill the memory."""
LONGEST_SIDE = 1600
LARGEST_KEPT = 400_000
_QUALITIES = (85, 75, 65, 50, 35)


class PhotoError(ValueError):
    """What is wrong with a photo, as a sentence."""


def small_jpeg(file: UploadedFile) -> bytes:
    """The JPEG that is kept of an uploaded picture: turned upright, without its notes, at most LARGEST_KEPT bytes.

    Raises PhotoError for what is no picture, or too large a one.
    """
    if file.size is None or file.size > LARGEST_FILE:
        raise PhotoError(f"The photo is larger than {LARGEST_FILE // 1024**2} MB. Send a smaller one.")
    try:
        with Image.open(file, formats=FORMATS) as picture:
            pixels = picture.width * picture.height
            if pixels > MOST_PIXELS:
                raise _too_many(f"{pixels / 1e6:.0f} million")
            # A JPEG is unpacked at no more than it takes.
            picture.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
            return _small_enough(_only_the_picture(picture))
    except PhotoError:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many("far too many") from None
    except UnidentifiedImageError:
        raise PhotoError("That is no photo that can be read here. Send a JPEG, PNG or WebP.") from None
    except (OSError, ValueError, SyntaxError, EOFError):
        raise PhotoError("The photo is broken and cannot be read. Take it again, or send another one.") from None


def _too_many(pixels: str) -> PhotoError:
    return PhotoError(f"The photo has {pixels} pixels; at most {MOST_PIXELS // 10**6} million are read here.")


def _only_the_picture(picture: Image.Image) -> Image.Image:
    """Upright, on white where it was clear, on a fresh sheet: no EXIF, place, comment or profile comes along."""
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    upright = ImageOps.exif_transpose(picture).convert("RGBA")
    sheet = Image.new("RGB", upright.size, "white")
    sheet.paste(upright, mask=upright.getchannel("A"))
    return sheet


def _small_enough(picture: Image.Image) -> bytes:
    while True:
        for quality in _QUALITIES:
            written = io.BytesIO()
            picture.save(written, "JPEG", quality=quality, optimize=True)
            if written.tell() <= LARGEST_KEPT:
                return written.getvalue()
        picture = picture.resize((max(1, picture.width * 3 // 4), max(1, picture.height * 3 // 4)))
