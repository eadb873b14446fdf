"""Opening artwork: every kind of file a maker may have, and every way in which it may be bad."""

from __future__ import annotations

import contextlib
import io
import os
import struct
import threading
import tracemalloc
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageCms

from palette.arrays import Pixels
from patterns.artwork import Artwork, find_artwork, open_artwork
from patterns.artwork.opening import MAX_PIXELS
from patterns.artwork_error import ArtworkError
from patterns.plane import Plane

SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def noise(height: int, width: int, channels: int = 3) -> Pixels:
    values = np.random.default_rng(4).integers(0, 256, (height, width, channels), dtype=np.uint8)
    return values[..., 0] if channels == 1 else values


def saved(folder: Path, name: str, image: Image.Image, **options: Any) -> Path:
    path = folder / name
    image.save(path, **options)
    return path


def png(width: int, height: int, depth: int, kind: int, rows: bytes) -> bytes:
    """Write a PNG by hand (ISO/IEC 15948), for what Pillow does not write."""

    def chunk(tag: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + tag + data + struct.pack(">I", zlib.crc32(tag + data))

    header = struct.pack(">IIBBBBB", width, height, depth, kind, 0, 0, 0)
    return b"".join(
        [
            b"\x89PNG\r\n\x1a\n",
            chunk(b"IHDR", header),
            chunk(b"IDAT", zlib.compress(rows)),
            chunk(b"IEND", b""),
        ]
    )


def wide_gamut_profile() -> bytes:
    """Return a matrix profile (ICC.1:2022) with Display P3's colourants under D50, gamma 2.2."""

    def s15(*values: float) -> bytes:
        return b"".join(struct.pack(">i", round(v * 65536)) for v in values)

    text = "wide gamut".encode("utf-16-be")
    mluc = struct.pack(">4sIII2s2sII", b"mluc", 0, 1, 12, b"en", b"US", len(text), 28) + text
    curve = struct.pack(">4sIIH", b"curv", 0, 1, round(2.2 * 256)) + b"\0\0"
    tags = {
        b"desc": mluc,
        b"cprt": mluc,
        b"wtpt": b"XYZ \0\0\0\0" + s15(0.9642, 1.0, 0.8249),
        b"rXYZ": b"XYZ \0\0\0\0" + s15(0.5151, 0.2412, -0.0011),
        b"gXYZ": b"XYZ \0\0\0\0" + s15(0.2920, 0.6922, 0.0419),
        b"bXYZ": b"XYZ \0\0\0\0" + s15(0.1571, 0.0666, 0.7841),
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
    }
    table, body, offset = b"", b"", 128 + 4 + 12 * len(tags)
    for tag, data in tags.items():
        padded = data + b"\0" * (-len(data) % 4)
        table += struct.pack(">4sII", tag, offset + len(body), len(data))
        body += padded
    size = offset + len(body)
    head = struct.pack(">I4sI4s4s4s", size, b"\0\0\0\0", 0x04300000, b"mntr", b"RGB ", b"XYZ ")
    head += struct.pack(">6H4s4s", 2026, 1, 1, 0, 0, 0, b"acsp", b"\0\0\0\0") + b"\0" * 24
    head += s15(0.9642, 1.0, 0.8249)
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def test_a_plain_png_comes_as_it_is(tmp_path: Path) -> None:
    pixels = noise(30, 20)
    art = open_artwork(saved(tmp_path, "pods.png", Image.fromarray(pixels), dpi=(300, 300)))
    assert np.array_equal(art.pixels, pixels)
    assert (art.name, art.width_px, art.height_px, art.notes) == ("pods", 20, 30, ())
    assert art.dpi == pytest.approx(300.0, abs=0.02)
    assert not art.lossy
    with pytest.raises(ValueError, match="read-only"):
        art.pixels[0, 0] = 0


@pytest.mark.parametrize("suffix", ["png", "tiff", "webp", "bmp", "ppm"])
def test_lossless_formats_keep_every_pixel(tmp_path: Path, suffix: str) -> None:
    pixels = noise(17, 23)
    options = {"lossless": True} if suffix == "webp" else {}
    art = open_artwork(saved(tmp_path, f"a.{suffix}", Image.fromarray(pixels), **options))
    assert np.array_equal(art.pixels, pixels)


def test_lossy_formats_say_so(tmp_path: Path) -> None:
    image = Image.fromarray(np.full((40, 40, 3), 90, dtype=np.uint8))
    for name, options in (("a.jpg", {}), ("b.webp", {}), ("c.tif", {"compression": "jpeg"})):
        art = open_artwork(saved(tmp_path, name, image, **options))
        assert art.lossy
        assert np.abs(art.pixels.astype(int) - 90).max() <= 2


@pytest.mark.parametrize(("kind", "channels"), [(0, 1), (2, 3)])
def test_sixteen_bits_become_eight(tmp_path: Path, kind: int, channels: int) -> None:
    """ISO/IEC 15948, 13.12: scaling down by dropping the low byte is within a step of exact."""
    values = np.random.default_rng(1).integers(0, 65536, (9, 7 * channels)).astype(np.uint16)
    wide = values.reshape(9, 7 * channels)
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in wide)
    path = tmp_path / "deep.png"
    path.write_bytes(png(7, 9, 16, kind, rows))
    art = open_artwork(path)
    exact = np.broadcast_to(values.reshape(9, 7, channels) / 257.0, (9, 7, 3))
    assert np.abs(art.pixels - exact).max() <= 1.0
    assert art.notes == ("Its 16 bits a channel were brought to 8.",)


def test_grey_palette_and_one_bit(tmp_path: Path) -> None:
    grey = noise(12, 9, 1)
    art = open_artwork(saved(tmp_path, "grey.png", Image.fromarray(grey)))
    assert np.array_equal(art.pixels, np.repeat(grey[..., None], 3, axis=2))
    few = Image.fromarray(noise(12, 9) // 128 * 255)
    art = open_artwork(saved(tmp_path, "few.png", few.quantize(8, dither=Image.Dither.NONE)))
    assert np.array_equal(art.pixels, np.asarray(few))
    art = open_artwork(saved(tmp_path, "bits.png", Image.fromarray(grey).convert("1")))
    assert set(np.unique(art.pixels)) <= {0, 255}


def test_float_tiff(tmp_path: Path) -> None:
    ramp = np.linspace(0.0, 1.0, 256, dtype=np.float32).reshape(16, 16)
    art = open_artwork(saved(tmp_path, "float.tif", Image.fromarray(ramp)))
    assert np.array_equal(art.pixels[..., 0].ravel(), np.arange(256))


def test_soft_edges_are_shown_on_white(tmp_path: Path) -> None:
    pixels = noise(16, 16, 4)
    pixels[0, 0, 3], pixels[0, 1, 3] = 0, 255
    art = open_artwork(saved(tmp_path, "soft.png", Image.fromarray(pixels)))
    opacity = pixels[..., 3:] / 255.0
    exact = pixels[..., :3] * opacity + 255.0 * (1.0 - opacity)
    assert np.abs(art.pixels - exact).max() <= 1.0
    assert (art.pixels[0, 0] == 255).all()
    assert (art.pixels[0, 1] == pixels[0, 1, :3]).all()
    assert "Transparent" in art.notes[0]


def test_an_opaque_alpha_channel_is_not_worth_a_note(tmp_path: Path) -> None:
    pixels = noise(8, 8, 4)
    pixels[..., 3] = 255
    art = open_artwork(saved(tmp_path, "opaque.png", Image.fromarray(pixels)))
    assert np.array_equal(art.pixels, pixels[..., :3])
    assert art.notes == ()


def test_transparent_palette_entries(tmp_path: Path) -> None:
    image = Image.new("P", (4, 4), 1)
    image.putpalette([10, 20, 30, 200, 100, 50])
    image.putpixel((0, 0), 0)
    art = open_artwork(saved(tmp_path, "clear.png", image, transparency=0))
    assert art.pixels[0, 0].tolist() == [255, 255, 255]
    assert art.pixels[1, 1].tolist() == [200, 100, 50]


@pytest.mark.parametrize("orientation", range(1, 9))
def test_exif_orientation(tmp_path: Path, orientation: int) -> None:
    """CIPA DC-008: where the first row and column of the stored picture belong."""
    turned = {
        1: lambda a: a,
        2: lambda a: a[:, ::-1],
        3: lambda a: a[::-1, ::-1],
        4: lambda a: a[::-1],
        5: lambda a: a.transpose(1, 0, 2),
        6: lambda a: np.rot90(a, -1),
        7: lambda a: a[::-1, ::-1].transpose(1, 0, 2),
        8: lambda a: np.rot90(a, 1),
    }[orientation]
    pixels, exif = noise(6, 10), Image.Exif()
    exif[0x0112] = orientation
    art = open_artwork(saved(tmp_path, "o.png", Image.fromarray(pixels), exif=exif))
    assert np.array_equal(art.pixels, turned(pixels))
    assert len(art.notes) == (orientation != 1)


def test_broken_exif_does_not_cost_the_pixels(tmp_path: Path) -> None:
    pixels = noise(6, 10)
    path = saved(tmp_path, "e.png", Image.fromarray(pixels), exif=b"Exif\0\0MM\0*\xff\xff\xff\xff")
    assert np.array_equal(open_artwork(path).pixels, pixels)


def test_an_srgb_profile_changes_nothing(tmp_path: Path) -> None:
    pixels = noise(20, 20)
    art = open_artwork(saved(tmp_path, "s.png", Image.fromarray(pixels), icc_profile=SRGB))
    assert np.array_equal(art.pixels, pixels)
    assert art.notes == ()


def test_a_wide_gamut_profile_is_converted(tmp_path: Path) -> None:
    """Against the matrices themselves (IEC 61966-2-1 and the profile's own), inside sRGB."""
    pixels = noise(20, 20) // 3 + 90
    image = Image.fromarray(pixels.astype(np.uint8))
    art = open_artwork(saved(tmp_path, "w.png", image, icc_profile=wide_gamut_profile()))
    to_xyz = np.array(
        [[0.5151, 0.2920, 0.1571], [0.2412, 0.6922, 0.0666], [-0.0011, 0.0419, 0.7841]]
    )
    # sRGB under D50: ICC's own sRGB profile's colourants
    srgb = np.array(
        [[0.43607, 0.38515, 0.14307], [0.22249, 0.71687, 0.06061], [0.01392, 0.09708, 0.71410]]
    )
    light = (np.asarray(image) / 255.0) ** 2.2 @ to_xyz.T @ np.linalg.inv(srgb).T
    exact = 255.0 * np.where(
        light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055
    )
    inside = ((light > 0.002) & (light < 0.99)).all(axis=-1)
    assert inside.sum() > 100
    assert np.abs(art.pixels - exact)[inside].max() <= 2.0
    assert art.notes == ("Converted to sRGB from wide gamut.",)


def test_a_profile_that_only_calls_itself_srgb_is_converted(tmp_path: Path) -> None:
    named = wide_gamut_profile().replace(
        "wide gamut".encode("utf-16-be"), "sRGB wider".encode("utf-16-be")
    )
    image = Image.new("RGB", (4, 4), (30, 200, 40))
    art = open_artwork(saved(tmp_path, "n.png", image, icc_profile=named))
    assert art.pixels[0, 0].tolist() != [30, 200, 40]


def test_a_damaged_profile_is_told_and_left_out(tmp_path: Path) -> None:
    image = Image.fromarray(noise(5, 5))
    art = open_artwork(saved(tmp_path, "d.png", image, icc_profile=b"no profile at all" * 20))
    assert np.array_equal(art.pixels, np.asarray(image))
    assert "sRGB is assumed" in art.notes[0]


def test_cmyk_without_a_profile_is_a_guess(tmp_path: Path) -> None:
    image = Image.new("CMYK", (8, 8), (0, 0, 0, 0))
    art = open_artwork(saved(tmp_path, "c.tif", image))
    assert (art.pixels == 255).all()
    assert art.notes == ("CMYK without a profile; the colours are a guess.",)


def test_cmyk_with_another_ones_profile_is_told(tmp_path: Path) -> None:
    art = open_artwork(
        saved(tmp_path, "c.tif", Image.new("CMYK", (8, 8), (0, 255, 0, 0)), icc_profile=SRGB)
    )
    assert "the colours are a guess" in art.notes[0]


def test_lab_tiff(tmp_path: Path) -> None:
    lab = ImageCms.applyTransform(
        Image.new("RGB", (4, 4), (200, 90, 40)),
        ImageCms.buildTransform(
            ImageCms.createProfile("sRGB"), ImageCms.createProfile("LAB"), "RGB", "LAB"
        ),
    )
    assert lab is not None
    art = open_artwork(saved(tmp_path, "lab.tif", lab))
    assert np.abs(art.pixels[0, 0].astype(int) - [200, 90, 40]).max() <= 3


@pytest.mark.parametrize("suffix", ["gif", "png", "webp", "tif"])
def test_of_several_frames_the_first(tmp_path: Path, suffix: str) -> None:
    frames = [Image.new("RGB", (6, 6), colour) for colour in ("red", "blue")]
    options = {"lossless": True} if suffix == "webp" else {}
    path = saved(
        tmp_path, f"f.{suffix}", frames[0], save_all=True, append_images=frames[1:], **options
    )
    art = open_artwork(path)
    assert art.pixels[0, 0].tolist() == [255, 0, 0]
    assert "several frames" in art.notes[0]


@pytest.mark.parametrize("size", [(1, 1), (1, 9000), (9000, 1)])
def test_single_pixels_and_threads(tmp_path: Path, size: tuple[int, int]) -> None:
    art = open_artwork(saved(tmp_path, "thin.png", Image.new("RGB", size, (9, 8, 7))))
    assert art.pixels.shape == (size[1], size[0], 3)
    assert Plane(art.pixels, 10.0).sample(0.0, 0.0, 2.0, 2.0, 300.0)[0, 0].tolist() == [9, 8, 7]


def test_a_resolution_of_one_is_an_aspect_ratio(tmp_path: Path) -> None:
    art = open_artwork(saved(tmp_path, "one.png", Image.new("RGB", (3, 3)), dpi=(1, 1)))
    assert art.dpi is None


def test_the_ending_of_the_name_proves_nothing(tmp_path: Path) -> None:
    path = saved(tmp_path, "real.png", Image.fromarray(noise(5, 6)))
    assert open_artwork(path.rename(tmp_path / "named.jpg")).pixels.shape == (5, 6, 3)


def text_files() -> dict[str, tuple[bytes, str]]:
    return {
        "empty.png": (b"", "is empty"),
        "words.png": (b"not an image at all", "not an image"),
        "drawing.png": (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "SVG drawing"),
        "declared.png": (b'\xef\xbb\xbf<?xml version="1.0"?>\n<svg/>', "SVG drawing"),
        "page.jpg": (b"\n<!DOCTYPE html><html></html>", "web page"),
        "print.png": (b"%PDF-1.7\n", "a PDF"),
        # the mark by which such files begin; it carries a name that nothing else here needs
        "script.png": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", "PostScript"),
        "layers.png": (b"8BPS\0\1" + b"\0" * 40, "layered document"),
    }


@pytest.mark.parametrize("name", text_files())
def test_files_that_are_no_pixels(tmp_path: Path, name: str) -> None:
    content, said = text_files()[name]
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(ArtworkError, match=said) as caught:
        open_artwork(path)
    assert "\n" not in str(caught.value)
    assert caught.value.remedy


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "WEBP", "GIF", "BMP"])
@pytest.mark.parametrize("share", [0.02, 0.3, 0.7, 0.98])
def test_cut_short(tmp_path: Path, kind: str, share: float) -> None:
    whole = io.BytesIO()
    Image.fromarray(noise(50, 50)).save(whole, kind)
    path = tmp_path / "cut.png"
    path.write_bytes(whole.getvalue()[: int(len(whole.getvalue()) * share)])
    with pytest.raises(ArtworkError):
        open_artwork(path)


def test_broken_bytes_raise_nothing_else(tmp_path: Path) -> None:
    """Flip bytes anywhere: pixels or an ArtworkError, never a decoder's own exception."""
    random = np.random.default_rng(9)
    path, opened = tmp_path / "broken", 0
    for kind in ("PNG", "JPEG", "TIFF", "WEBP", "GIF", "BMP"):
        whole = io.BytesIO()
        Image.fromarray(noise(24, 24)).save(whole, kind)
        for _ in range(40):
            data = bytearray(whole.getvalue())
            for place in random.integers(0, min(len(data), 400), 3):
                data[place] = random.integers(256)
            path.write_bytes(data)
            with contextlib.suppress(ArtworkError):
                opened += isinstance(open_artwork(path), Artwork)
    assert opened > 0


@pytest.mark.parametrize("side", [12_500, 60_000])
def test_decompression_bombs_are_refused_before_they_are_unpacked(
    tmp_path: Path, side: int
) -> None:
    path = tmp_path / "bomb.png"
    path.write_bytes(png(side, side, 8, 2, b"\0"))
    tracemalloc.start()
    with pytest.raises(ArtworkError, match=f"limit of {MAX_PIXELS:,}"):
        open_artwork(path)
    assert tracemalloc.get_traced_memory()[1] < 2**20
    tracemalloc.stop()


def test_files_that_are_none(tmp_path: Path) -> None:
    with pytest.raises(ArtworkError, match="no such file"):
        open_artwork(tmp_path / "absent.png")
    with pytest.raises(ArtworkError, match="no such file"):
        open_artwork(tmp_path / ("long" * 100))
    with pytest.raises(ArtworkError, match="is a folder"):
        open_artwork(tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.png")
    with pytest.raises(ArtworkError, match="not an ordinary file"):
        open_artwork(tmp_path / "pipe.png")


def test_opening_in_threads(tmp_path: Path) -> None:
    pixels = noise(60, 60)
    path = saved(tmp_path, "t.png", Image.fromarray(pixels), icc_profile=wide_gamut_profile())
    first, seen = open_artwork(path).pixels, []
    threads = [
        threading.Thread(target=lambda: seen.append(open_artwork(path).pixels)) for _ in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(seen) == 8
    assert all(np.array_equal(first, other) for other in seen)


def test_a_plain_png_is_copied_once(tmp_path: Path) -> None:
    """Pillow's own memory is not traced; what is, are the bytes handed to numpy."""
    path = saved(tmp_path, "big.png", Image.new("RGB", (1500, 1500), (1, 2, 3)))
    open_artwork(path)
    tracemalloc.start()
    art = open_artwork(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 2.2 * art.pixels.nbytes


def test_a_large_picture_is_read_strip_by_strip(tmp_path: Path) -> None:
    image = Image.new("RGB", (2500, 2500), (1, 2, 3))
    image.putpixel((2499, 2499), (9, 8, 7))
    path = saved(tmp_path, "large.png", image)
    tracemalloc.start()
    art = open_artwork(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert art.pixels[-1, -1].tolist() == [9, 8, 7]
    assert (art.pixels[:-1] == (1, 2, 3)).all()
    assert not art.pixels.flags.writeable
    assert peak < 2.4 * art.pixels.nbytes


def test_find_artwork(tmp_path: Path) -> None:
    for name in ("b.png", "a.JPG", ".hidden.png", "notes.txt"):
        (tmp_path / name).write_bytes(b"x")
    (tmp_path / "sub.png").mkdir()
    assert [path.name for path in find_artwork(tmp_path)] == ["a.JPG", "b.png"]
