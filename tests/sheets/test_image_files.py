"""Pictures to pixels. What the EXIF turns mean is from Exif 2.32, tag 0x0112 (from memory)."""

from __future__ import annotations

import io
import struct
import zlib

import cv2
import numpy as np
import pytest
from PIL import Image

from loomfolio.basics import FileUnreadableError, LimitExceededError, Resolution
from loomfolio.sheets import MAX_PAGES, load_page, page_list
from support.sheet_files import (
    make_coloured,
    make_drawing,
    with_opencv,
    with_pillow,
    with_tifffile,
)

# How a page that is looked at upright is stored, by the number of its turn: which side of the
# picture the first stored row and the first stored column are.
STORED = {
    1: lambda page: page,
    2: np.fliplr,
    3: lambda page: np.rot90(page, 2),
    4: np.flipud,
    5: lambda page: page.swapaxes(0, 1),
    6: lambda page: np.rot90(page, 1),
    7: lambda page: np.rot90(page, 2).swapaxes(0, 1),
    8: lambda page: np.rot90(page, -1),
}


def written(tmp_path, data, name="page"):
    path = tmp_path / name
    path.write_bytes(data)
    return path


def saved(tmp_path, image, kind, **options):
    room = io.BytesIO()
    image.save(room, kind, **options)
    return written(tmp_path, room.getvalue())


LOSSLESS = {
    "PNG by Pillow": lambda page: with_pillow(page, "PNG"),
    "PNG by OpenCV": lambda page: with_opencv(page, ".png"),
    "TIFF by Pillow": lambda page: with_pillow(page, "TIFF"),
    "TIFF by OpenCV": lambda page: with_opencv(page, ".tiff"),
    "TIFF by tifffile": with_tifffile,
    "TIFF of bytes turned": lambda page: with_tifffile(page, byteorder=">"),
    "BigTIFF by tifffile": lambda page: with_tifffile(page, bigtiff=True),
    "TIFF of tiles": lambda page: with_tifffile(page, tile=(16, 16)),
    "WebP by Pillow": lambda page: with_pillow(page, "WEBP"),
    "WebP by OpenCV": lambda page: with_opencv(page, ".webp"),
}


@pytest.mark.parametrize("write", LOSSLESS.values(), ids=LOSSLESS)
@pytest.mark.parametrize("make", [make_drawing, make_coloured], ids=["grey", "coloured"])
def test_lossless_pictures_give_the_very_pixels(tmp_path, write, make):
    page = make()
    loaded = load_page(written(tmp_path, write(page))).pixels
    assert loaded.dtype == np.uint8
    assert np.array_equal(loaded, page)


LOSSY = {
    "JPEG by Pillow": lambda page: with_pillow(page, "JPEG"),
    "JPEG by OpenCV": lambda page: with_opencv(page, ".jpg"),
}


@pytest.mark.parametrize("write", LOSSY.values(), ids=LOSSY)
def test_grey_drawing_stays_grey_and_sharp_through_jpeg(tmp_path, write):
    drawing = make_drawing()
    as_colour = np.repeat(drawing[..., None], 3, axis=2)
    for page in (drawing, as_colour):
        loaded = load_page(written(tmp_path, write(page))).pixels
        assert loaded.shape == drawing.shape
        assert np.array_equal(loaded < 180, drawing < 180)


@pytest.mark.parametrize("write", LOSSY.values(), ids=LOSSY)
def test_coloured_line_stays_coloured_through_jpeg(tmp_path, write):
    loaded = load_page(written(tmp_path, write(make_coloured()))).pixels
    red, _green, blue = loaded[21, 30].astype(int)
    assert blue - red > 100


def test_gif_gives_the_very_pixels(tmp_path):
    assert np.array_equal(
        load_page(written(tmp_path, with_pillow(make_drawing(), "GIF"))).pixels, make_drawing()
    )


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
@pytest.mark.parametrize("turn", STORED)
def test_each_of_the_eight_turns_comes_out_upright_once(tmp_path, kind, turn):
    upright = make_drawing()
    stored = Image.fromarray(np.ascontiguousarray(STORED[turn](upright)))
    exif = Image.Exif()
    exif[0x0112] = turn
    quality = {"lossless": True} if kind == "WEBP" else {"quality": 95} if kind == "JPEG" else {}
    path = saved(tmp_path, stored, kind, exif=exif, **quality)
    (info,) = page_list(path)
    pixels = load_page(path).pixels
    assert (info.height_px, info.width_px) == upright.shape == pixels.shape
    assert np.array_equal(pixels < 180, upright < 180)


@pytest.mark.parametrize("turn", [1, 6])
def test_turn_that_a_png_states_after_its_pixels_counts_too(tmp_path, turn):
    upright = make_drawing()
    stored = with_pillow(np.ascontiguousarray(STORED[turn](upright)), "PNG")
    exif = Image.Exif()
    exif[0x0112] = turn
    block = b"eXIf" + exif.tobytes().removeprefix(b"Exif\0\0")
    late = struct.pack(">I", len(block) - 4) + block + struct.pack(">I", zlib.crc32(block))
    path = written(tmp_path, stored[:-12] + late + stored[-12:])
    (info,) = page_list(path)
    assert (info.height_px, info.width_px) == upright.shape
    assert np.array_equal(load_page(path).pixels, upright)


@pytest.mark.parametrize("turn", [0, 9, 65535])
def test_turn_that_does_not_exist_is_no_turn(tmp_path, turn):
    exif = Image.Exif()
    exif[0x0112] = turn
    path = saved(tmp_path, Image.fromarray(make_drawing()), "JPEG", exif=exif, quality=95)
    assert load_page(path).pixels.shape == make_drawing().shape


def test_resolution_turns_with_the_page(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    stored = Image.fromarray(make_drawing(600, 400))
    for kind in ("JPEG", "PNG", "TIFF"):
        path = saved(tmp_path, stored, kind, exif=exif, dpi=(200, 300))
        (info,) = page_list(path)
        assert (info.width_px, info.height_px) == (400, 600)
        assert (round(info.x_dpi), round(info.y_dpi)) == (300, 200)


# ------------------------------------------------------------------------------- onto white paper


def see_through(mode):
    """A black line on transparent ground of which the hidden colour is black too."""
    picture = Image.new("RGBA", (20, 10), (0, 0, 0, 0))
    picture.paste((0, 0, 0, 255), (2, 4, 18, 6))
    return picture.convert(mode)


@pytest.mark.parametrize("kind", ["PNG", "TIFF", "WEBP"])
@pytest.mark.parametrize("mode", ["RGBA", "LA"])
def test_transparent_ground_is_white_paper(tmp_path, kind, mode):
    if (kind, mode) == ("WEBP", "LA"):
        mode = "RGBA"
    options = {"lossless": True} if kind == "WEBP" else {}
    pixels = load_page(saved(tmp_path, see_through(mode), kind, **options)).pixels
    assert pixels.shape == (10, 20)
    assert pixels[0, 0] == 255
    assert pixels[4, 10] == 0


def test_half_transparent_ink_is_grey_on_white(tmp_path):
    picture = Image.new("RGBA", (4, 4), (0, 0, 0, 128))
    assert load_page(saved(tmp_path, picture, "PNG")).pixels[0, 0] == 127


@pytest.mark.parametrize("kind", ["PNG", "GIF"])
def test_transparent_entry_of_a_palette_is_white(tmp_path, kind):
    picture = Image.new("P", (20, 10), 1)
    picture.putpalette([0, 0, 0, 90, 90, 90] + [0] * 762)
    picture.paste(0, (2, 4, 18, 6))
    pixels = load_page(saved(tmp_path, picture, kind, transparency=1)).pixels
    assert pixels[0, 0] == 255
    assert pixels[4, 10] == 0


def test_transparent_colour_of_a_picture_without_alpha_is_white(tmp_path):
    picture = Image.new("RGB", (8, 8), (1, 2, 3))
    picture.paste((200, 0, 0), (0, 0, 4, 8))
    pixels = load_page(saved(tmp_path, picture, "PNG", transparency=(1, 2, 3))).pixels
    assert pixels[4, 6].tolist() == [255, 255, 255]
    assert pixels[4, 1].tolist() == [200, 0, 0]
    grey = Image.new("L", (8, 8), 7)
    assert (load_page(saved(tmp_path, grey, "PNG", transparency=7)).pixels == 255).all()


def test_palette_with_colours_gives_rgb(tmp_path):
    picture = Image.fromarray(make_coloured()).quantize(8)
    pixels = load_page(saved(tmp_path, picture, "PNG")).pixels
    assert pixels[21, 30].tolist() == [0, 60, 200]


# ------------------------------------------------------------------------------ depths and spaces


@pytest.mark.parametrize(
    ("kind", "options"),
    [
        ("PNG", {}),
        ("TIFF", {"compression": "group4"}),
        ("TIFF", {"compression": "group4", "tiffinfo": {262: 0}}),
        ("TIFF", {"compression": "group3"}),
        ("TIFF", {}),
    ],
    ids=["PNG", "G4", "G4 where 0 is white", "G3", "plain TIFF"],
)
def test_one_bit_pages_have_black_ink_on_white(tmp_path, kind, options):
    drawing = make_drawing() > 128
    picture = Image.fromarray(drawing)
    assert picture.mode == "1"
    pixels = load_page(saved(tmp_path, picture, kind, **options)).pixels
    assert np.array_equal(pixels, np.where(drawing, 255, 0))


@pytest.mark.parametrize("kind", ["JPEG", "TIFF"])
def test_four_colour_print_has_black_ink_on_white(tmp_path, kind):
    picture = Image.new("CMYK", (32, 32), (0, 0, 0, 0))
    picture.paste((0, 0, 0, 255), (0, 0, 16, 32))
    picture.paste((255, 0, 0, 0), (16, 16, 32, 32))
    pixels = load_page(saved(tmp_path, picture, kind)).pixels
    assert pixels[8, 8].max() < 12
    assert pixels[8, 24].min() > 243
    red, green, blue = pixels[24, 24].astype(int)
    assert red < 30
    assert min(green, blue) > 200


def sixteen_bits(page):
    return page.astype(np.uint16) * 257


@pytest.mark.parametrize(
    "data",
    [
        cv2.imencode(".png", sixteen_bits(make_drawing()))[1].tobytes(),
        with_tifffile(sixteen_bits(make_drawing())),
        with_tifffile(sixteen_bits(make_drawing()), byteorder=">"),
        with_tifffile(65535 - sixteen_bits(make_drawing()), photometric="miniswhite"),
    ],
    ids=["PNG by OpenCV", "TIFF", "TIFF of bytes turned", "TIFF where 0 is white"],
)
def test_sixteen_grey_bits_become_eight(tmp_path, data):
    assert np.array_equal(load_page(written(tmp_path, data)).pixels, make_drawing())


@pytest.mark.parametrize("suffix", [".png", ".tiff"])
def test_sixteen_bits_a_colour_become_eight(tmp_path, suffix):
    page = make_coloured()
    data = cv2.imencode(suffix, sixteen_bits(page[..., ::-1]))[1].tobytes()
    assert np.array_equal(load_page(written(tmp_path, data)).pixels, page)


def test_eight_bits_where_zero_is_white_are_turned_round(tmp_path):
    data = with_tifffile(255 - make_drawing(), photometric="miniswhite")
    assert np.array_equal(load_page(written(tmp_path, data)).pixels, make_drawing())


# ---------------------------------------------------------------------------------- several pages


def numbered(number):
    page = make_drawing()
    page[20:24, 5 : 5 + 10 * number] = 0
    return page


def test_each_directory_of_a_tiff_is_a_page(tmp_path):
    pages = np.stack([numbered(number) for number in (1, 2, 3)])
    path = written(tmp_path, with_tifffile(pages, photometric="minisblack"))
    assert [info.label for info in page_list(path)] == ["page 1", "page 2", "page 3"]
    for number in (3, 1, 2):
        assert np.array_equal(load_page(path, page=number).pixels, numbered(number))


def test_pages_of_a_tiff_have_sizes_turns_and_resolutions_of_their_own(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 8
    lying = Image.fromarray(np.ascontiguousarray(STORED[8](make_drawing(600, 400))))
    lying.encoderinfo = {"exif": exif, "dpi": (200, 200)}
    first = Image.fromarray(make_drawing(300, 200))
    path = saved(tmp_path, first, "TIFF", save_all=True, append_images=[lying], dpi=(300, 300))
    one, two = page_list(path)
    assert (one.width_px, one.height_px, one.x_dpi) == (300, 200, 300)
    assert (two.width_px, two.height_px, two.x_dpi) == (600, 400, 200)
    assert np.array_equal(load_page(path, page=2).pixels, make_drawing(600, 400))


def test_thumbnail_inside_a_tiff_is_no_page(tmp_path):
    room = io.BytesIO()
    with_thumbnail = Image.fromarray(make_drawing())
    small = Image.fromarray(make_drawing(30, 20))
    small.encoderinfo = {"tiffinfo": {254: 1}}
    with_thumbnail.save(room, "TIFF", save_all=True, append_images=[small, with_thumbnail])
    path = written(tmp_path, room.getvalue())
    assert [(info.number, info.width_px) for info in page_list(path)] == [(1, 60), (2, 60)]
    assert load_page(path, page=2).pixels.shape == (40, 60)


@pytest.mark.parametrize("kind", ["GIF", "WEBP"])
def test_frames_of_an_animation_are_pages(tmp_path, kind):
    frames = [Image.fromarray(numbered(number)) for number in (1, 2, 3)]
    options = {"lossless": True} if kind == "WEBP" else {}
    path = saved(
        tmp_path, frames[0], kind, save_all=True, append_images=frames[1:], duration=99, **options
    )
    assert len(page_list(path)) == 3
    for number in (2, 3, 1):
        assert np.array_equal(load_page(path, page=number).pixels, numbered(number))


def test_second_picture_of_a_camera_is_no_page(tmp_path):
    small = Image.fromarray(make_drawing(30, 20))
    large = Image.fromarray(make_drawing())
    path = saved(tmp_path, large, "MPO", save_all=True, append_images=[small])
    assert [info.width_px for info in page_list(path)] == [60]
    assert load_page(path).source_kind == "JPEG"


@pytest.mark.parametrize("page", [-1, 0, 4])
def test_page_that_is_not_there_is_named(tmp_path, page):
    pages = np.stack([numbered(number) for number in (1, 2, 3)])
    path = written(tmp_path, with_tifffile(pages, photometric="minisblack"), "scan.tif")
    with pytest.raises(FileUnreadableError, match=f"scan.tif: there is no page {page}, .* has 3;"):
        load_page(path, page=page)


# ------------------------------------------------------------------------- what the file states


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF"])
def test_resolution_that_the_file_states(tmp_path, kind):
    path = saved(tmp_path, Image.fromarray(make_drawing(600, 400)), kind, dpi=(300, 300))
    loaded = load_page(path)
    assert loaded.resolution_from == "file"
    assert loaded.resolution == Resolution(300, 300)


@pytest.mark.parametrize(
    ("unit", "number", "dpi"), [(2, 300, 300), (3, 118.11, 300)], ids=["inch", "cm"]
)
@pytest.mark.parametrize("kind", ["JPEG", "WEBP"])
def test_resolution_from_exif_where_the_format_states_none(tmp_path, kind, unit, number, dpi):
    exif = Image.Exif()
    exif[0x011A], exif[0x011B], exif[0x0128] = number, number, unit
    path = saved(tmp_path, Image.fromarray(make_drawing(600, 400)), kind, exif=exif)
    assert load_page(path).resolution.x_dpi == pytest.approx(dpi, abs=0.1)


def test_exif_without_resolution_states_none(tmp_path):
    """Pillow says 72 dpi of such a JPEG; the file does not."""
    exif = Image.Exif()
    exif[0x0112] = 1
    path = saved(tmp_path, Image.fromarray(make_drawing()), "JPEG", exif=exif)
    assert load_page(path).resolution is None


def test_shape_of_the_dots_is_no_resolution(tmp_path):
    data = bytearray(with_pillow(make_drawing(), "JPEG"))
    density = data.index(b"JFIF\0") + 7
    data[density : density + 5] = struct.pack(">BHH", 0, 300, 300)
    assert load_page(written(tmp_path, bytes(data))).resolution is None


@pytest.mark.parametrize("tag", [0x829A, 0x829D, 0x920A])
def test_camera_does_not_know_how_large_the_paper_was(tmp_path, tag):
    exif = Image.Exif()
    exif.get_ifd(0x8769)[tag] = 0.02
    path = saved(
        tmp_path, Image.fromarray(make_drawing(600, 400)), "JPEG", exif=exif, dpi=(300,) * 2
    )
    assert load_page(path).resolution is None
    assert page_list(path)[0].x_dpi is None


def test_screen_shot_of_96_dpi_is_believed(tmp_path):
    path = saved(tmp_path, Image.fromarray(make_drawing(1366, 768)), "PNG", dpi=(96, 96))
    assert load_page(path).resolution == Resolution(96, 96)


@pytest.mark.parametrize("make", [make_drawing, make_coloured], ids=["grey", "coloured"])
def test_pixels_belong_to_the_caller(tmp_path, make):
    pixels = load_page(written(tmp_path, with_pillow(make(), "PNG"))).pixels
    assert pixels.flags.writeable
    assert pixels.flags.c_contiguous


def test_same_file_gives_the_same_pixels_and_digest(tmp_path):
    path = written(tmp_path, with_pillow(make_coloured(), "JPEG"))
    one, two = load_page(path), load_page(path)
    assert np.array_equal(one.pixels, two.pixels)
    assert one.sha256 == two.sha256


# -------------------------------------------------------------------------------- limits, damage


def png_of_size(width_px, height_px):
    """A PNG of 70 bytes that claims any size."""
    head = b"IHDR" + struct.pack(">IIBBBBB", width_px, height_px, 8, 0, 0, 0, 0)
    body = b"IDAT" + zlib.compress(b"\0")
    blocks = (head, body, b"IEND")
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(block) - 4) + block + struct.pack(">I", zlib.crc32(block))
        for block in blocks
    )


@pytest.mark.parametrize(
    ("width_px", "height_px"), [(50_000, 50_000), (60_001, 1), (1, 60_001), (2**31 - 1, 2**31 - 1)]
)
def test_bomb_is_refused_by_its_header(tmp_path, width_px, height_px):
    path = written(tmp_path, png_of_size(width_px, height_px), "bomb.png")
    for opened in (page_list, load_page):
        with pytest.raises(
            LimitExceededError, match=f"bomb.png: page 1 is {width_px} × {height_px}"
        ):
            opened(path)


def test_page_just_within_the_limits_is_not_refused_for_its_size(tmp_path):
    with pytest.raises(FileUnreadableError, match="broken or cut off"):
        load_page(written(tmp_path, png_of_size(60_000, 2_500)))


def test_second_page_of_a_tiff_is_checked_too(tmp_path):
    small, large = Image.new("1", (8, 8)), Image.new("1", (60_001, 1))
    path = saved(tmp_path, small, "TIFF", save_all=True, append_images=[large])
    with pytest.raises(LimitExceededError, match="page 2 is 60001 × 1 px"):
        page_list(path)
    assert load_page(path, page=1).pixels.shape == (8, 8)


def test_too_many_frames_are_refused(tmp_path):
    frames = [Image.new("L", (1, 1), number % 2 * 255) for number in range(MAX_PAGES + 1)]
    path = saved(tmp_path, frames[0], "GIF", save_all=True, append_images=frames[1:])
    with pytest.raises(LimitExceededError, match="more than 1000 pages"):
        page_list(path)


@pytest.mark.parametrize("mode", ["F", "I", "LAB"])
def test_measured_values_are_no_page(tmp_path, mode):
    path = saved(tmp_path, Image.new(mode, (8, 8)), "TIFF")
    with pytest.raises(FileUnreadableError, match="no scanner writes"):
        load_page(path)


def test_real_pictures_open(samples):
    shapes = {
        "lirc_schematics.gif": (464, 1059, 3),
        "nut_73-0724.png": (600, 800),
        "nut_belkin-f6cx.jpg": (203, 500),
        "linuxcnc_switches_parallel.png": (220, 445),
    }
    assert {name: load_page(samples / name).pixels.shape for name in shapes} == shapes


def test_what_the_decoder_logs_of_damage_is_not_passed_on(tmp_path):
    """`quiet_log` fails on a line of the log; without our word Pillow writes one here."""
    data = bytearray(with_tifffile(make_coloured()))
    samples_per_pixel = data.index(struct.pack("<HHI", 277, 3, 1)) + 8
    data[samples_per_pixel] = 102
    with pytest.raises(FileUnreadableError, match="broken or cut off"):
        load_page(written(tmp_path, bytes(data)))
