#!/bin/sh
# Makes the fixtures anew: sh make.sh OUTDIR. Needs Ghostscript, ImageMagick,
# libtiff's tools, libvips's tools, netpbm and Pillow (Debian's python3-pil).
set -eu
out=${1:?where to put the files}
here=$(cd "$(dirname "$0")" && pwd)
python=/usr/bin/python3
cd "$out"
mkdir -p refused
t=$(mktemp -d)
trap 'rm -rf "$t"' EXIT

draw() { # DEVICE FILE [OPTION]...
	device=$1 file=$2
	shift 2
	gs -q -dNOPAUSE -dBATCH -r72 -dTIFFDateTime=false "-sDEVICE=$device" "$@" "-sOutputFile=$file" "$here/drawing.ps"
}
drop() { "$python" "$here/droptag.py" "$@"; } # FILE TAG

draw tiffgray "$t/gray.tif" -sCompression=none
draw tiff24nc "$t/rgb.tif" -sCompression=lzw
draw tiff32nc "$t/cmyk.tif"
draw tiffg4 "$t/bits.tif"
for page in gray rgb cmyk; do # profiles are not ours to hand on, and large
	tiffset -u 34675 "$t/$page.tif"
done

# Ghostscript: its own coders
draw tiffcrle gs-huffman.tif
draw tiffg3 gs-g3.tif
draw tiffg32d gs-g3-2d.tif
draw tiffg4 gs-g4.tif
draw tiffpack gs-packbits.tif
draw tifflzw gs-lzw.tif

# libtiff: container and compressions
tiffcp -c g4 -r 16 "$t/bits.tif" bits-g4.tif
tiffcp -c g3:1d "$t/bits.tif" bits-g3.tif
tiffcp -c g3:1d:fill "$t/bits.tif" bits-g3-fill.tif
tiffcp -c g3:2d "$t/bits.tif" bits-g3-2d.tif
tiffcp -c g3:2d:fill "$t/bits.tif" bits-g3-2d-fill.tif
tiffcp -c g4 -f lsb2msb "$t/bits.tif" bits-g4-lsb.tif
tiffcp -c g3:1d -f lsb2msb "$t/bits.tif" bits-g3-lsb.tif
tiffcp -c g3:2d -f lsb2msb "$t/bits.tif" bits-g3-2d-lsb.tif
tiffcp -c lzw -f lsb2msb "$t/bits.tif" bits-lzw-lsb.tif
tiffcp -c zip -f lsb2msb "$t/bits.tif" bits-deflate-lsb.tif
tiffcp -c packbits -f lsb2msb "$t/bits.tif" bits-packbits-lsb.tif
tiffcp -c none -f lsb2msb "$t/bits.tif" bits-none-lsb.tif
tiffcp -c packbits -r 1 "$t/bits.tif" bits-packbits.tif
tiffcp -c lzw -r 5 "$t/bits.tif" bits-lzw-5-rows.tif
tiffcp -c none -r 67 "$t/bits.tif" bits-none-one-strip.tif
tiffcp -8 -c g4 "$t/bits.tif" bits-bigtiff.tif
tiffcp -8 -B -c none -r 9 "$t/bits.tif" bits-bigtiff-big-endian.tif
tiffcp -t -w 48 -l 32 -c g4 "$t/bits.tif" bits-tiles-g4.tif
tiffcp -c lzw:2 -B "$t/gray.tif" gray-lzw-predictor.tif
tiffcp -c zip:2 -L "$t/gray.tif" gray-deflate-predictor.tif
tiffcp -c zip "$t/gray.tif" gray-old-deflate.tif
tiffset -s 259 32946 gray-old-deflate.tif
tiffcp -c jpeg:90 "$t/gray.tif" gray-jpeg.tif
tiffcp -t -w 32 -l 16 -c lzw "$t/gray.tif" gray-tiles.tif
tiffcp -t -w 64 -l 64 -c jpeg:90 "$t/gray.tif" gray-tiles-jpeg.tif
tiffcp -8 -B -t -w 64 -l 32 -c zip:2 "$t/gray.tif" gray-bigtiff-tiles-predictor.tif
(cd "$t" && tiffdither gray.tif dither.tif) # writes its argument into the file
cp "$t/dither.tif" bits-tiffdither.tif
tiffcp -c lzw "$t/cmyk.tif" cmyk-lzw.tif
tiffcp -c lzw:2 "$t/cmyk.tif" cmyk-lzw-predictor.tif
tiffcp -p separate -c zip "$t/cmyk.tif" cmyk-planes.tif
tiffcp -t -w 48 -l 32 -p separate -c packbits "$t/cmyk.tif" cmyk-planes-tiles.tif
tiffcp -c jpeg:90 "$t/cmyk.tif" cmyk-jpeg.tif
tiffcp -c lzw "$t/gray.tif" "$t/cmyk.tif" pages.tif
for orientation in bot-right left-top; do
	cp bits-tiles-g4.tif "bits-tiles-$orientation.tif"
done
tiffset -s 274 3 bits-tiles-bot-right.tif
tiffset -s 274 5 bits-tiles-left-top.tif
for orientation in 1 2 3 4 5 6 7 8; do
	cp gs-g4.tif "bits-orientation-$orientation.tif"
	tiffset -s 274 "$orientation" "bits-orientation-$orientation.tif"
done
for unit in 1 2 3; do
	cp gs-g4.tif "bits-unit-$unit.tif"
	tiffset -s 296 "$unit" "bits-unit-$unit.tif"
	tiffset -s 282 1000 "bits-unit-$unit.tif"
	tiffset -s 283 500 "bits-unit-$unit.tif"
done

# tags that old writers leave out, taken out of directories that libtiff wrote
tiffcp -c none -r 10 "$t/bits.tif" bits-no-lengths.tif
drop bits-no-lengths.tif 279
cp gs-g4.tif bits-g4-no-length.tif
drop bits-g4-no-length.tif 279
tiffcp -c none -r 10 "$t/bits.tif" bits-no-compression-tag.tif
drop bits-no-compression-tag.tif 259

# one ink a page, and more or other inks than four of 8 bits
draw tiffsep1 "$t/inks.tif"
for ink in Cyan Magenta Yellow Black; do
	tiffset -s 285 "$ink" "$t/inks($ink).tif"
done
tiffcp -c g4 "$t/inks(Cyan).tif" "$t/inks(Magenta).tif" "$t/inks(Yellow).tif" "$t/inks(Black).tif" pages-inks.tif
draw bitcmyk "$t/bits.raw"
raw2tiff -w 61 -l 67 -b 1 -c lzw "$t/bits.raw" cmyk-1-bit.tif # 61 bytes hold 121 pixels of 4 bits
tiffset -s 256 121 cmyk-1-bit.tif
tiffset -s 258 1 cmyk-1-bit.tif
tiffset -s 262 5 cmyk-1-bit.tif
tiffset -s 277 4 cmyk-1-bit.tif 2>/dev/null
vips bandjoin "$t/cmyk.tif $t/gray.tif" "$t/5.v"
vips bandjoin "$t/5.v $t/gray.tif $t/gray.tif" "$t/7.v"
for n in 5 7; do
	vips rawsave "$t/$n.v" "$t/$n.raw"
	raw2tiff -w 121 -l 67 -b $n -p cmyk -c zip "$t/$n.raw" inks-$n.tif
	tiffset -s 332 2 inks-$n.tif 2>/dev/null
	tiffset -s 334 $n inks-$n.tif 2>/dev/null
done
printf 'Cyan\0Magenta\0Yellow\0Black\0Harbour Red\0' >"$t/names"
tiffset -sf 333 "$t/names" inks-5.tif
tiffcp -p separate -c zip inks-7.tif inks-7-planes.tif 2>/dev/null

# ImageMagick: depths, polarities, byte orders, palettes, alpha
for depth in 2 4 16; do
	convert "$t/gray.tif" -strip -depth $depth -compress lzw "gray-$depth.tif"
	convert "$t/gray.tif" -strip -depth $depth -define png:color-type=0 -define png:bit-depth=$depth "gray-$depth.png"
done
for polarity in white black; do
	convert "$t/gray.tif" -strip -depth 8 -compress lzw -define quantum:polarity=min-is-$polarity "gray-$polarity-is-zero.tif"
	convert "$t/gray.tif" -strip -depth 4 -compress zip -define quantum:polarity=min-is-$polarity "gray-4-$polarity-is-zero.tif"
done
convert "$t/bits.tif" -strip -compress lzw -define quantum:polarity=min-is-black bits-black-is-zero.tif
# levels that need all 16 bits
convert "$t/gray.tif" -strip -evaluate multiply 0.9 -depth 16 -compress none "$t/gray-16.tif"
tiffcp -B -c lzw:2 "$t/gray-16.tif" gray-16-big-endian-predictor.tif
tiffcp -L -c zip:2 "$t/gray-16.tif" gray-16-little-endian-predictor.tif
tiffcp -B -t -w 64 -l 64 -c zip "$t/gray-16.tif" gray-16-tiles.tif
convert "$t/cmyk.tif" -strip -evaluate multiply 0.9 -depth 16 -compress none "$t/cmyk-16.tif"
tiffcp -B -c zip:2 "$t/cmyk-16.tif" cmyk-16-predictor.tif
# libtiff separates planes of 8 bits only: four planes below each other, then
# said to lie on each other
convert "$t/cmyk-16.tif" -strip -interlace Plane -endian LSB -depth 16 "cmyk:$t/planes.raw"
raw2tiff -w 121 -l 268 -d short -p minisblack "$t/planes.raw" "$t/planes.tif"
tiffcp -L -r 67 -c zip:2 "$t/planes.tif" cmyk-16-planes-predictor.tif
tiffset -s 284 2 cmyk-16-planes-predictor.tif 2>/dev/null
tiffset -s 277 4 cmyk-16-planes-predictor.tif 2>/dev/null
tiffset -s 257 67 cmyk-16-planes-predictor.tif 2>/dev/null
tiffset -s 262 5 cmyk-16-planes-predictor.tif 2>/dev/null
convert "$t/gray.tif" -strip -type TrueColor -compress lzw neutral-rgb.tif
convert "$t/gray-16.tif" -strip -type TrueColor -depth 16 -compress zip neutral-rgb-16.tif
convert "$t/gray.tif" -strip -type Palette -compress lzw neutral-palette.tif
convert "$t/gray.tif" "(" "$t/gray.tif" -flop ")" -strip -alpha off -compose CopyOpacity -composite "$t/alpha.miff"
for alpha in unassociated associated; do
	convert "$t/alpha.miff" -type GrayscaleMatte -depth 8 -compress lzw -define tiff:alpha=$alpha "alpha-$alpha.tif"
	convert "$t/alpha.miff" -type TrueColorMatte -depth 8 -compress zip -define tiff:alpha=$alpha "alpha-$alpha-rgb.tif"
done
convert "$t/alpha.miff" -evaluate multiply 0.9 -type GrayscaleMatte -depth 16 -compress zip alpha-unassociated-16.tif

# ImageMagick and netpbm: PNG of every colour type and depth, interlaced or not
convert "$t/gray.tif" -strip -interlace PNG -define png:color-type=0 -define png:bit-depth=8 gray-interlaced.png
convert "$t/bits.tif" -strip -interlace PNG -define png:color-type=0 -define png:bit-depth=1 bits-interlaced.png
convert "$t/gray.tif" -strip -define png:color-type=2 neutral-rgb.png
convert "$t/gray.tif" -strip -define png:color-type=3 neutral-palette.png
convert "$t/gray.tif" -strip -alpha set -channel A -evaluate set 50% +channel -define png:color-type=4 gray-alpha.png
png() { # SOURCE TYPE DEPTH NAME [OPTION]...
	source=$1 type=$2 depth=$3 name=$4
	shift 4
	for interlace in None PNG; do
		convert "$source" -strip "$@" -interlace $interlace -define png:color-type="$type" -define png:bit-depth="$depth" "png-$name-$depth-$interlace.png"
	done
}
png "$t/bits.tif" 0 1 gray
png "$t/gray.tif" 0 2 gray -depth 2
png "$t/gray.tif" 0 4 gray -depth 4
png "$t/gray.tif" 0 8 gray
png "$t/gray-16.tif" 0 16 gray
png "$t/gray.tif" 2 8 rgb
png "$t/gray-16.tif" 2 16 rgb
png "$t/bits.tif" 3 1 palette
png "$t/gray.tif" 3 2 palette -depth 2 -colors 4
png "$t/gray.tif" 3 4 palette -depth 4 -colors 16
png "$t/gray.tif" 3 8 palette
png "$t/alpha.miff" 4 8 gray-alpha
png "$t/alpha.miff" 4 16 gray-alpha -evaluate multiply 0.9
png "$t/alpha.miff" 6 8 rgb-alpha
png "$t/alpha.miff" 6 16 rgb-alpha -evaluate multiply 0.9
convert "$t/gray.tif" -strip "$t/gray.pgm"
convert "$t/bits.tif" -strip "$t/bits.pbm"
pnmtopng -quiet -force -transparent '#ffffff' "$t/gray.pgm" >netpbm-clear-gray.png
pnmtopng -quiet -transparent '=#000000' "$t/bits.pbm" >netpbm-clear-black.png
pnmtopng -quiet '-size=100000 50000 1' "$t/bits.pbm" >netpbm-phys.png

# libvips: pyramids apart, its tiles are written by another hand
vips tiffsave "$t/gray.tif" gray-vips-tiles.tif --tile --tile-width 32 --tile-height 32 --compression deflate
vips tiffsave "$t/bits.tif" vips-bits.tif --bitdepth 1 --compression ccittfax4 --miniswhite
vips tiffsave "$t/gray.tif" vips-bigtiff.tif --bigtiff --compression lzw --predictor horizontal --xres 40 --yres 20 --resunit cm
vips pngsave "$t/gray.tif" vips-interlaced.png --interlace --strip

# Pillow: modified Huffman, JPEG
$python - "$t" <<'PY'
import sys
from PIL import Image
t = sys.argv[1]
Image.open(t + "/bits.tif").save("bits-huffman.tif", compression="tiff_ccitt")
Image.open(t + "/gray.tif").save("gray-jpeg-pillow.tif", compression="jpeg", quality=90)
Image.open(t + "/cmyk.tif").save("cmyk-jpeg-pillow.tif", compression="jpeg", quality=90)
Image.open(t + "/gray.tif").save("pillow-deflate.tif", compression="tiff_deflate")
Image.open(t + "/rgb.tif").crop((30, 40, 70, 60)).save("refused/rgb-jpeg.tif", compression="jpeg", quality=20)
PY
tiffcp -f lsb2msb bits-huffman.tif bits-huffman-lsb.tif

# what is no separation, or of a kind that is not read
tiffcp -c lzw "$t/rgb.tif" refused/rgb.tif
convert "$t/rgb.tif" -strip -define png:color-type=2 refused/rgb.png
convert "$t/rgb.tif" -strip -type Palette -compress lzw refused/palette.tif
convert "$t/rgb.tif" -strip -define png:color-type=3 refused/palette.png
tiffcp -p separate -c zip "$t/rgb.tif" refused/rgb-planes.tif
convert "$t/rgb.tif" -strip -colorspace Lab -compress zip refused/lab.tif
convert "$t/gray.tif" -strip -depth 32 -define quantum:format=floating-point -compress zip refused/floating-point.tif
convert "$t/gray.tif" -strip -depth 32 -compress zip refused/32-bit.tif
vips tiffsave "$t/5.v" refused/cmyk-alpha.tif --compression lzw
tiffcp -c zstd "$t/gray.tif" refused/zstd.tif
convert "$t/rgb.tif" -strip -crop 40x30+30+30 +repage -compress none "$t/crop.tif"
tiffcp -c jpeg:20 "$t/crop.tif" refused/ycbcr-jpeg.tif
convert "$t/gray.tif" -strip refused/gray.jpg
convert "$t/gray.tif" -strip refused/gray.gif
head -c 800 gs-g4.tif >refused/cut.tif
head -c 2000 cmyk-lzw.tif >refused/cut-lzw.tif
head -c 300 gray-4.png >refused/cut.png
