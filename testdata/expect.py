#!/usr/bin/python3
"""Counts the fixtures with other programs than wrote them: ImageMagick for what
libtiff, libvips and Pillow wrote, Pillow for what ImageMagick wrote.

expect.py FOLDER > expected.csv: page and channel from 1; ink in pixels of full
ink; x and y of its centre of gravity in px from the top left, orientation
undone. Dark is ink; where paper shows through, it is bare."""
import glob, os, subprocess, sys
from PIL import Image

def raw(path, page, kind):
    cmd = ["convert", "%s[%d]" % (path, page), "-auto-orient", "-depth", "16", "-endian", "MSB", kind + ":-"]
    data = subprocess.run(cmd, check=True, capture_output=True).stdout
    size = subprocess.run(["convert", "%s[%d]" % (path, page), "-auto-orient", "-format", "%w %h", "info:"], check=True, capture_output=True).stdout
    w, h = map(int, size.split())
    return w, h, [int.from_bytes(data[i:i + 2], "big") / 65535 for i in range(0, len(data), 2)]

def row(name, page, channel, w, h, ink):
    total = sum(ink)
    x = sum(v * (i % w + 0.5) for i, v in enumerate(ink)) / total
    y = sum(v * (i // w + 0.5) for i, v in enumerate(ink)) / total
    print("%s,%d,%d,%d,%d,%.6f,%.6f,%.6f" % (name, page, channel, w, h, total, x, y))

def pillow(path):
    im = Image.open(path)
    w, h = im.size
    if im.mode == "LA":
        return w, h, [(255 - v) * a / 255 / 255 for v, a in im.getdata()]
    if im.mode in ("I;16", "I;16B", "I"):
        return w, h, [1 - v / 65535 for v in im.getdata()]
    return w, h, [1 - v / 255 for v in im.convert("L").getdata()]

print("file,page,channel,width_px,height_px,ink_px,x_px,y_px")
for path in sorted(glob.glob(sys.argv[1] + "/*.tif") + glob.glob(sys.argv[1] + "/*.png")):
    name = os.path.basename(path)
    if name.startswith("cmyk"):
        w, h, v = raw(path, 0, "cmyk")
        for c in range(4):
            row(name, 1, c + 1, w, h, v[c::4])
    elif name == "pages.tif":
        w, h, v = raw(path, 0, "gray")
        row(name, 1, 1, w, h, [1 - t for t in v])
        w, h, v = raw(path, 1, "cmyk")
        for c in range(4):
            row(name, 2, c + 1, w, h, v[c::4])
    elif name.startswith(("gray-2", "gray-4", "gray-16", "gray-interlaced", "gray-alpha", "neutral", "bits-interlaced")):
        row(name, 1, 1, *pillow(path))
    else:
        w, h, v = raw(path, 0, "gray")
        row(name, 1, 1, w, h, [1 - t for t in v])
