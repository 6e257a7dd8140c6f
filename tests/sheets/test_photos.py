"""Photos come into the project upright, whatever the camera noted, and are copied, not pointed to."""

import numpy as np
import pytest
from PIL import ExifTags, Image

from loomfolio.basics import FileUnreadableError
from loomfolio.project import Project, ProjectFolder
from loomfolio.sheets import bring_in_photo
from support.sheet_files import make_pdf


@pytest.fixture
def folder(tmp_path):
    with ProjectFolder.create(tmp_path / "job", Project()) as made:
        yield made


def make_photo(path, orientation=None):
    """A picture 80 px wide and 40 high, red at the top left, with the camera's note."""
    pixels = np.full((40, 80, 3), 200, np.uint8)
    pixels[:20, :40] = (220, 20, 20)
    image = Image.fromarray(pixels)
    exif = image.getexif()
    if orientation is not None:
        exif[ExifTags.Base.Orientation] = orientation
    image.save(path, exif=exif, quality=95)
    return path


def test_an_upright_photo_is_copied_as_it_is(folder, tmp_path):
    photo = make_photo(tmp_path / "Plug C1.jpg")
    file = bring_in_photo(folder, photo)
    assert file.startswith("photos/plug-c1-")
    assert (folder.path / file).read_bytes() == photo.read_bytes()


# EXIF 2.3, tag 274: 6 says that row 0 is the right side, so that the picture is turned a quarter clockwise.
def test_a_turned_photo_is_written_upright(folder, tmp_path):
    file = bring_in_photo(folder, make_photo(tmp_path / "plug.jpg", orientation=6))
    with Image.open(folder.path / file) as upright:
        assert upright.size == (40, 80)
        assert upright.getexif().get(ExifTags.Base.Orientation) in {None, 1}
        red, green, _ = upright.convert("RGB").getpixel((30, 10))
    assert red > 180
    assert green < 90


def test_what_is_no_picture_is_refused_and_nothing_is_copied(folder, tmp_path):
    text = tmp_path / "notes.jpg"
    text.write_text("no picture")
    with pytest.raises(FileUnreadableError):
        bring_in_photo(folder, text)
    pdf = make_pdf(tmp_path / "page.pdf")
    with pytest.raises(FileUnreadableError, match="a PDF file is no photo"):
        bring_in_photo(folder, pdf)
    photos = folder.path / "photos"
    assert not photos.exists() or list(photos.iterdir()) == []
