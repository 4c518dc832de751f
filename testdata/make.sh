#!/bin/sh
# Makes the fixtures anew: sh make.sh OUTDIR. Needs Ghostscript, ImageMagick,
# libtiff's tools, libvips's tools and Pillow (Debian's python3-pil).
set -eu
out=${1:?where to put the files}
here=$(cd "$(dirname "$0")" && pwd)
python=/usr/bin/python3
cd "$out"
t=$(mktemp -d)
trap 'rm -rf "$t"' EXIT

gs -q -dNOPAUSE -dBATCH -sDEVICE=tiffgray -r72 -dTIFFDateTime=false -sCompression=none -sOutputFile="$t/gray.tif" "$here/drawing.ps"
gs -q -dNOPAUSE -dBATCH -sDEVICE=tiff32nc -r72 -dTIFFDateTime=false -sOutputFile="$t/cmyk.tif" "$here/drawing.ps"
tiffset -u 34675 "$t/cmyk.tif" # its colour profile is many times its size
gs -q -dNOPAUSE -dBATCH -sDEVICE=tiffg4 -r72 -dTIFFDateTime=false -sOutputFile="$t/bits.tif" "$here/drawing.ps"

# libtiff: container and compressions
tiffcp -c g4 -r 16 "$t/bits.tif" bits-g4.tif
tiffcp -c g3:1d "$t/bits.tif" bits-g3.tif
tiffcp -c g3:2d:fill "$t/bits.tif" bits-g3-2d-fill.tif
tiffcp -c g4 -f lsb2msb "$t/bits.tif" bits-g4-lsb.tif
tiffcp -c g3:1d -f lsb2msb "$t/bits.tif" bits-g3-lsb.tif
tiffcp -c lzw -f lsb2msb "$t/bits.tif" bits-lzw-lsb.tif
tiffcp -c none -f lsb2msb "$t/bits.tif" bits-none-lsb.tif
tiffcp -c packbits -r 1 "$t/bits.tif" bits-packbits.tif
tiffcp -8 -c g4 "$t/bits.tif" bits-bigtiff.tif
tiffcp -c lzw:2 -B "$t/gray.tif" gray-lzw-predictor.tif
tiffcp -c zip:2 -L "$t/gray.tif" gray-deflate-predictor.tif
tiffcp -c jpeg:90 "$t/gray.tif" gray-jpeg.tif
tiffcp -t -w 32 -l 16 -c lzw "$t/gray.tif" gray-tiles.tif
tiffcp -t -w 64 -l 64 -c jpeg:90 "$t/gray.tif" gray-tiles-jpeg.tif
tiffcp -p separate -c zip "$t/cmyk.tif" cmyk-planes.tif
tiffcp -t -w 48 -l 32 -p separate -c packbits "$t/cmyk.tif" cmyk-planes-tiles.tif
tiffcp -c jpeg:90 "$t/cmyk.tif" cmyk-jpeg.tif
tiffcp -c lzw "$t/gray.tif" "$t/cmyk.tif" pages.tif
for orientation in bot-right left-top; do
	cp gray-tiles.tif "gray-$orientation.tif"
done
tiffset -s 274 3 gray-bot-right.tif
tiffset -s 274 5 gray-left-top.tif

# ImageMagick: depths, palettes, PNG
for depth in 2 4 16; do
	convert "$t/gray.tif" -strip -depth $depth -compress lzw "gray-$depth.tif"
	convert "$t/gray.tif" -strip -depth $depth -define png:color-type=0 -define png:bit-depth=$depth "gray-$depth.png"
done
convert "$t/gray.tif" -strip -interlace PNG -define png:color-type=0 -define png:bit-depth=8 gray-interlaced.png
convert "$t/bits.tif" -strip -interlace PNG -define png:color-type=0 -define png:bit-depth=1 bits-interlaced.png
convert "$t/gray.tif" -strip -define png:color-type=2 neutral-rgb.png
convert "$t/gray.tif" -strip -define png:color-type=3 neutral-palette.png
convert "$t/gray.tif" -strip -alpha set -channel A -evaluate set 50% +channel -define png:color-type=4 gray-alpha.png

# libvips: pyramids apart, its tiles are written by another hand
vips tiffsave "$t/gray.tif" gray-vips-tiles.tif --tile --tile-width 32 --tile-height 32 --compression deflate

# Pillow: modified Huffman, 16-bit
$python - "$t" <<'PY'
import sys
from PIL import Image
t = sys.argv[1]
Image.open(t + "/bits.tif").save("bits-huffman.tif", compression="tiff_ccitt")
PY
