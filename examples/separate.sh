#!/bin/sh
# Makes the separations of harbour-fair.ps, as a prepress system would hand
# them over. Usage: sh examples/separate.sh OUTDIR
set -eu

fail() {
	echo "separate.sh: $1" >&2
	exit 1
}

[ $# -eq 1 ] || fail "wants one folder to write to; run: sh separate.sh OUTDIR"
for tool in gs convert; do
	command -v "$tool" >/dev/null ||
		fail "$tool is not installed; install Ghostscript (gs) and ImageMagick (convert)"
done

form=$(cd "$(dirname "$0")" && pwd)/harbour-fair.ps
mkdir -p "$1"
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT

# Without a date two runs give the same bytes. Strips of 1 MB pack better than
# the few rows that are Ghostscript's default. MaxBitmap=0 draws band by band:
# drawn in one piece, Ghostscript 10.00 gets this form's screen wrong.
separate() { # name gs-options...
	name=$1
	shift
	gs -q -dSAFER -dBATCH -dNOPAUSE -dTIFFDateTime=false -dMaxBitmap=0 \
		-dMaxStripSize=1000000 "$@" -o "$tmp/$name.tif" "$form" >"$tmp/log" 2>&1 ||
		fail "$form: Ghostscript failed: $(tr '\n' ' ' <"$tmp/log")"
}

separate plate -sDEVICE=tiffsep1 -r600 -sCompression=g4
separate spot -sDEVICE=tiffsep1 -r300 -sCompression=lzw
separate lzw -sDEVICE=tiffsep -r400 -dDownScaleFactor=8 -sCompression=lzw
separate pack -sDEVICE=tiffsep -r400 -dDownScaleFactor=8 -sCompression=pack

cp "$tmp/plate(Black).tif" "$1/harbour-fair(Black).tif"
cp "$tmp/spot(Harbour Red).tif" "$1/harbour-fair.Harbour Red.tif"
cp "$tmp/lzw(Cyan).tif" "$1/harbour-fair_C.tif"
cp "$tmp/pack(Magenta).tif" "$1/harbour-fair_M.tif"

# Ghostscript draws to PNG but not one separation of several.
convert "$tmp/lzw(Yellow).tif" -strip -define png:exclude-chunk=date,time,tEXt \
	-define png:compression-level=9 "$1/harbour-fair_Y.png"
