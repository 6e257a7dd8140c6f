"""Whatever lies in a file: it opens, or one plain sentence says why not."""

from __future__ import annotations

import io

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from loomfolio import sheets
from loomfolio.basics import FileUnreadableError, LimitExceededError
from loomfolio.sheets import MAX_FILE_BYTES, load_page, page_list
from support.sheet_files import (
    make_coloured,
    make_drawing,
    make_pdf,
    with_opencv,
    with_pillow,
    with_tifffile,
)


def group4():
    room = io.BytesIO()
    Image.fromarray(make_drawing() > 128).save(room, "TIFF", compression="group4")
    return room.getvalue()


def animation():
    frames = [Image.fromarray(np.roll(make_drawing(), shift, axis=1)) for shift in (0, 3)]
    room = io.BytesIO()
    frames[0].save(room, "GIF", save_all=True, append_images=frames[1:])
    return room.getvalue()


def turned():
    exif = Image.Exif()
    exif[0x0112], exif[0x011A] = 6, 300
    exif.get_ifd(0x8769)[0x829A] = 0.02
    room = io.BytesIO()
    Image.fromarray(make_coloured()).save(room, "JPEG", exif=exif)
    return room.getvalue()


@pytest.fixture(scope="module")
def whole_files(tmp_path_factory):
    """Return the bytes of one sound file of each kind."""
    room = tmp_path_factory.mktemp("whole")
    return {
        "PNG": with_pillow(make_coloured(), "PNG"),
        "JPEG": turned(),
        "GIF": animation(),
        "WebP": with_opencv(make_coloured(), ".webp"),
        "TIFF": with_tifffile(np.stack([make_drawing()] * 2), photometric="minisblack"),
        "TIFF of strips": group4(),
        "PDF": make_pdf(room / "plain.pdf", pages=2).read_bytes(),
        "protected PDF": make_pdf(room / "protected.pdf", password="x").read_bytes(),
    }


@pytest.fixture(scope="module")
def spot(tmp_path_factory):
    return tmp_path_factory.mktemp("spot") / "file"


def open_or_refuse(path, data):
    """Open as far as it goes; any exception but ours goes through and fails the test."""
    path.write_bytes(data)
    try:
        pages = page_list(path)
    except FileUnreadableError:
        return
    for info in pages[:3]:
        if info.width_px * info.height_px > 10_000_000:
            continue
        try:
            image = load_page(path, page=info.number)
        except FileUnreadableError:
            continue
        assert image.pixels.dtype == np.uint8
        assert image.pixels.shape[:2] == (info.height_px, info.width_px)


KINDS = ["PNG", "JPEG", "GIF", "WebP", "TIFF", "TIFF of strips", "PDF", "protected PDF"]


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "protected PDF"])
def test_sound_files_open(whole_files, spot, kind):
    spot.write_bytes(whole_files[kind])
    assert load_page(spot).source_kind == kind.split()[0]


@pytest.mark.parametrize("kind", KINDS)
def test_file_cut_off_anywhere_opens_or_is_refused(whole_files, spot, kind):
    data = whole_files[kind]
    for length in range(0, len(data), max(1, len(data) // 150)):
        open_or_refuse(spot, data[:length])


@pytest.mark.parametrize("kind", KINDS)
@given(draw=st.data())
def test_damaged_file_opens_or_is_refused(whole_files, spot, kind, draw):
    data = bytearray(whole_files[kind])
    for _ in range(draw.draw(st.integers(1, 6))):
        place = draw.draw(st.integers(0, len(data) - 1))
        data[place] = draw.draw(st.integers(0, 255))
    open_or_refuse(spot, bytes(data))


MARKS = [b"", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"GIF89a", b"II*\0", b"MM\0*", b"%PDF-1.4\n"]


@given(mark=st.sampled_from([*MARKS, b"RIFF\x20\0\0\0WEBPVP8 "]), rest=st.binary(max_size=400))
def test_any_bytes_open_or_are_refused(spot, mark, rest):
    open_or_refuse(spot, mark + rest)


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "file: the file is empty; scan or export it again."),
        (b"BM" + bytes(60), "file: this is a Windows bitmap; save it as PNG, .* or PDF."),
        (b"PK\x03\x04" + bytes(60), "a zip archive or an office document"),
        (b"\0\0\0\x18ftypheic" + bytes(60), "a HEIC or AVIF photo"),
        (b'<?xml version="1.0"?><svg/>', "this is text"),
        (b"Dear reader", "neither a picture nor a PDF"),
        (b"RIFF\x20\0\0\0AVI LIST", "neither a picture nor a PDF"),
    ],
    ids=["empty", "bitmap", "office", "HEIC", "XML", "words", "film"],
)
def test_foreign_file_is_named_for_what_it_is(spot, data, sentence):
    spot.write_bytes(data)
    with pytest.raises(FileUnreadableError, match=sentence):
        load_page(spot)


def test_folder_and_missing_file_are_refused(tmp_path):
    with pytest.raises(FileUnreadableError, match="this is no file; choose a picture or a PDF"):
        page_list(tmp_path)
    with pytest.raises(FileUnreadableError, match="there is no such file; check the path"):
        page_list(tmp_path / "page.png")
    with pytest.raises(FileUnreadableError, match="cannot be read"):
        page_list(tmp_path / ("n" * 500))


def test_file_above_the_limit_is_refused_unread(tmp_path):
    path = tmp_path / "big.pdf"
    with path.open("wb") as file:
        file.write(b"%PDF-1.4\n")
        file.truncate(MAX_FILE_BYTES + 1)
    with pytest.raises(LimitExceededError, match=r"big\.pdf: the file has 300 MB, the limit is"):
        page_list(path)


def test_name_of_the_file_does_not_decide(tmp_path):
    path = tmp_path / "page.jpg"
    path.write_bytes(with_pillow(make_drawing(), "PNG"))
    assert load_page(path).source_kind == "PNG"


def test_contract_of_the_room_is_all_there():
    assert all(hasattr(sheets, name) for name in sheets.__all__)
