#!/usr/bin/python3
"""Counts the fixtures with other programs than wrote them: libvips for what
libtiff, Ghostscript, ImageMagick, netpbm and Pillow wrote, ImageMagick for what
libvips wrote or does not read, Pillow for strips without lengths, libtiff for
premultiplied alpha.

expect.py FOLDER: writes expected.csv there, a line a separation, and sums.csv,
where each picture's sums stand once, since most fixtures hold the same picture.
Page and channel count from 1; full is what a fully inked pixel adds; sums name
a line of sums.csv. Dark is ink; where paper shows through, it is bare."""
import array, csv, glob, hashlib, os, re, subprocess, sys, tempfile
from PIL import Image

PAPER_OVER = {"assoc": "premultiplied", "unassoc": "straight"}
MODELS = {"palette": "palette", "separated": "separated"}

def run(*command):
    return subprocess.run(command, check=True, capture_output=True).stdout

def directories(path):
    """What libtiff says of every page."""
    for text in run("tiffinfo", path).decode().split("=== TIFF directory")[1:]:
        yield lambda pattern, text=text: (re.findall(pattern, text) or [""])[0]

def chunk(path, name):
    data = open(path, "rb").read()
    at = data.find(name)
    return data[at + 4:at + 4 + int.from_bytes(data[at - 4:at], "big")] if at > 0 else None

def by_vips(path, page):
    """Width, height, bands and samples; gray comes with light high."""
    with tempfile.TemporaryDirectory() as t:
        load = path + ("[page=%d,autorotate]" % page if path.endswith(".tif") else "")
        run("vips", "copy", load, t + "/p.v")
        field = lambda name: run("vipsheader", "-f", name, t + "/p.v").decode().strip()
        run("vips", "rawsave", t + "/p.v", t + "/p.raw")
        kind = "H" if "USHORT" in field("format").upper() else "B"
        samples = array.array(kind, open(t + "/p.raw", "rb").read())
        return int(field("width")), int(field("height")), int(field("bands")), samples, 255 if kind == "B" else 65535

def by_imagemagick(path, page, kind, bands):
    one = "%s[%d]" % (path, page)
    w, h = map(int, run("convert", one, "-auto-orient", "-format", "%w %h", "info:").split())
    return w, h, bands, run("convert", one, "-auto-orient", "-depth", "8", kind + ":-"), 255

def by_pillow(path):
    with Image.open(path) as im:
        return im.width, im.height, 1, list(im.convert("L").getdata()), 255

def by_libtiff(path, w=121, h=67):
    """The samples as stored: libvips divides a premultiplied picture by its
    alpha and rounds."""
    with tempfile.TemporaryDirectory() as t:
        run("tiffcp", "-c", "none", "-r", str(h), path, t + "/p.tif")
        at = int(re.search(r"StripOffsets.*<(\d+)>", run("tiffdump", t + "/p.tif").decode())[1])
        bands = int(re.search(r"SamplesPerPixel.*<(\d+)>", run("tiffdump", t + "/p.tif").decode())[1])
        return w, h, bands, open(t + "/p.tif", "rb").read()[at:at + w * h * bands], 255

def over_paper(dark, alpha, full, how):
    """Ink of a pixel, and full ink: exact at 8 bits, else to the nearest step."""
    if how == "premultiplied":
        return max(alpha - (full - dark), 0), full
    if full == 255:
        return dark * alpha, full * full
    return (2 * dark * alpha + full) // (2 * full), full

def separations(path, page, model, bits, alpha):
    """The ink of every channel: (full, rows of samples)."""
    name = os.path.basename(path)
    if "vips" in name:
        w, h, bands, v, full = by_imagemagick(path, page, "gray", 1)
    elif alpha == "premultiplied":
        w, h, bands, v, full = by_libtiff(path)
    elif name == "bits-no-lengths.tif":
        w, h, bands, v, full = by_pillow(path)
    elif name in ("cmyk-1-bit.tif", "cmyk-planes-tiles.tif"):
        w, h, bands, v, full = by_imagemagick(path, page, "cmyk", 4)
    else:
        w, h, bands, v, full = by_vips(path, page)
    if model == "separated":
        planes = [(v[c::bands], full) for c in range(bands)]
    elif alpha or bands in (2, 4): # gray or RGB, and what is there of it
        assert all(v[i] == v[i + bands - 2] for i in range(0, len(v), bands) if v[i + bands - 1]), path
        of = [over_paper(full - v[i], v[i + bands - 1], full, alpha or "straight") for i in range(0, len(v), bands)]
        planes = [([ink for ink, _ in of], of[0][1])]
    else:
        assert v[::bands] == v[bands - 1::bands], path
        planes = [([full - t for t in v[::bands]], full)]
        if model == "palette":
            planes = [([t * 257 for t in planes[0][0]], 65535)]
    for ink, full in planes:
        if bits < 8 and model != "palette":
            step = 255 // (2 ** bits - 1)
            if full == 65025: # PNG with a clear colour
                step, full = 255 * step, 65025
            assert all(t % step == 0 for t in ink), path
            ink, full = [t // step for t in ink], full // step
        yield w, h, full, ink

def pages(path):
    """Model, bits, alpha, dpi and ink names of every page."""
    if path.endswith(".png"):
        ihdr, phys = chunk(path, b"IHDR"), chunk(path, b"pHYs")
        dpi = [int.from_bytes(phys[i:i + 4], "big") * 0.0254 for i in (0, 4)] if phys and phys[8] == 1 else (0, 0)
        yield ("palette" if ihdr[9] == 3 else "light"), ihdr[8], None, dpi, []
        return
    if path.endswith("bits-no-lengths.tif"): # libtiff refuses it
        yield "light", 1, None, Image.open(path).info["dpi"], []
        return
    for said in directories(path):
        scale = {"inch": 1, "cm": 2.54}.get(said(r"pixels/(\w+)"), 0)
        dpi = [float(said(r"Resolution: " + one) or 0) * scale for one in (r"([\d.]+),", r"[\d.]+, ([\d.]+)")]
        if said(r"Orientation: row 0 (lhs|rhs)"): # the picture lies on its side
            dpi.reverse()
        names = said(r"Ink Names: (.*)").split(", ") if said("Ink Names") else [said(r"PageName: (.*)")]
        yield MODELS.get(said(r"Interpretation: (\w+)"), "light"), int(said(r"Bits/Sample: (\d+)")), PAPER_OVER.get(said(r"Extra Samples: \d<(\w+)-alpha")), dpi, names

def main(folder):
    expected, sums = [], {}
    for path in sorted(glob.glob(folder + "/*.tif") + glob.glob(folder + "/*.png")):
        for page, (model, bits, alpha, dpi, names) in enumerate(pages(path)):
            for channel, (w, h, full, ink) in enumerate(separations(path, page, model, bits, alpha)):
                columns = " ".join(str(sum(ink[x::w])) for x in range(w))
                rows = " ".join(str(sum(ink[y * w:(y + 1) * w])) for y in range(h))
                key = hashlib.sha256((columns + "/" + rows).encode()).hexdigest()[:8]
                sums[key] = (columns, rows)
                name = names[channel] if channel < len(names) else ""
                expected.append([os.path.basename(path), page + 1, channel + 1, name, w, h, "%.6g" % dpi[0], "%.6g" % dpi[1], full, key])
    write(folder + "/expected.csv", "file,page,channel,ink,width_px,height_px,dpi_x,dpi_y,full,sums", expected)
    write(folder + "/sums.csv", "sums,columns,rows", [(key, *sums[key]) for key in sorted(sums)])

def write(path, header, rows):
    with open(path, "w") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(header.split(","))
        out.writerows(rows)

main(sys.argv[1])
