"""A photo is decoded, made small and written anew; what is no picture is refused by a sentence."""

import io
import random
import struct
import zlib

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from inventory.inspections import photos


def upload(content, name="photo.jpg"):
    return SimpleUploadedFile(name, content)


def written(picture, form="JPEG", **options):
    file = io.BytesIO()
    picture.save(file, form, **options)
    return file.getvalue()


def read(content):
    return Image.open(io.BytesIO(content))


def noise(width, height):
    """What a compressor can do least about."""
    return Image.frombytes("RGB", (width, height), random.Random(7).randbytes(width * height * 3))


def a_png_that_says(width, height):
    """A small file whose head promises so many pixels."""

    def chunk(name, body):
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    rows = zlib.compress(bytes(height * (width // 8 + 1)))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_each_format_of_a_phone_comes_out_as_jpeg(form):
    kept = photos.small_jpeg(upload(written(Image.new("RGB", (300, 200), "navy"), form)))

    assert (read(kept).format, read(kept).size) == ("JPEG", (300, 200))


def test_the_longest_side_is_at_most_1600_pixels():
    assert read(photos.small_jpeg(upload(written(Image.new("RGB", (4000, 3000)))))).size == (1600, 1200)


def test_even_noise_is_kept_in_at_most_400_kilobytes():
    assert len(photos.small_jpeg(upload(written(noise(1600, 1600), quality=95)))) <= 400_000


def test_all_notes_of_a_photo_are_left_behind():
    exif = Image.Exif()
    exif[0x010E] = "by the crib"
    exif.get_ifd(0x8825)[2] = (52.0, 31.0, 12.0)
    content = written(Image.new("RGB", (60, 40)), exif=exif, comment=b"hidden words", icc_profile=b"profile")
    assert b"by the crib" in content

    kept = photos.small_jpeg(upload(content))

    assert dict(read(kept).getexif()) == {}
    assert not {"exif", "comment", "icc_profile", "xmp"} & set(read(kept).info)
    assert b"hidden words" not in kept


def test_a_picture_that_was_taken_sideways_is_turned_upright():
    exif = Image.Exif()
    exif[0x0112] = 6  # EXIF 2.32, tag Orientation: the top row is the right side.

    assert read(photos.small_jpeg(upload(written(Image.new("RGB", (60, 40)), exif=exif)))).size == (40, 60)


def test_what_is_clear_comes_out_white():
    kept = photos.small_jpeg(upload(written(Image.new("RGBA", (40, 40), (0, 0, 0, 0)), "PNG")))

    assert read(kept).getpixel((20, 20)) == (255, 255, 255)


@pytest.mark.parametrize("side", [8001, 10_000, 30_000])
def test_too_many_pixels_are_refused_before_they_are_unpacked(side):
    content = a_png_that_says(side, side)
    assert len(content) < 200_000

    with pytest.raises(photos.PhotoError, match="pixels; at most 64 million are read here"):
        photos.small_jpeg(upload(content))


@pytest.mark.parametrize(
    "content",
    [b"no picture at all", b"", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"%PDF-1.7"],
    ids=["text", "empty", "svg", "pdf"],
)
def test_what_is_no_photo_is_refused(content):
    with pytest.raises(photos.PhotoError, match="Send a JPEG, PNG or WebP"):
        photos.small_jpeg(upload(content))


def test_a_format_that_no_phone_sends_is_refused():
    with pytest.raises(photos.PhotoError, match="Send a JPEG, PNG or WebP"):
        photos.small_jpeg(upload(written(Image.new("RGB", (9, 9)), "TIFF")))


def test_a_photo_that_was_cut_off_is_refused():
    content = written(noise(400, 400))

    with pytest.raises(photos.PhotoError, match="broken"):
        photos.small_jpeg(upload(content[: len(content) // 2]))


def test_a_file_that_is_too_large_is_not_opened():
    with pytest.raises(photos.PhotoError, match="larger than 20 MB"):
        photos.small_jpeg(upload(bytes(photos.LARGEST_FILE + 1)))
