#!/bin/sh
# Counts the ink of the separations beside this script with other people's
# programs and writes independent-count.csv and independent-inkcov.csv to
# OUTDIR. Usage: sh examples/independent-count.sh OUTDIR
#
# libvips sums every pixel column, exactly, in whole numbers. ImageMagick
# counts again what its usual limits let it open, all but the 163 megapixels
# of the black plate; if the two differ by 0.0001 % of coverage, nothing is
# written. Ghostscript counts the source, without any separation.
set -eu

fail() {
	echo "independent-count.sh: $1" >&2
	exit 1
}

[ $# -eq 1 ] || fail "wants one folder to write to; run: sh independent-count.sh OUTDIR"
for tool in gs convert vips vipsheader; do
	command -v "$tool" >/dev/null ||
		fail "$tool is not installed; install Ghostscript, ImageMagick and the tools of libvips"
done

mkdir -p "$1"
out=$(cd "$1" && pwd)
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
cd "$(dirname "$0")"

# All five files hold light: 255 is bare, 0 is ink.
zones_by_vips() { # file
	vips project "$1" "$tmp/columns.csv" "$tmp/rows.csv"
	tr '\t' '\n' <"$tmp/columns.csv" |
		awk -v file="$1" -v height="$(vipsheader -f height "$1")" '
		{ light[NR] = $1; sum += $1 }
		END {
			if (NR % 21) { print file ": width is no multiple of 21" >"/dev/stderr"; exit 1 }
			printf "%s,,%.9f\n", file, 100 - 100 * sum / (255 * height * NR)
			w = NR / 21
			for (z = 1; z <= 21; z++) {
				sum = 0
				for (x = (z - 1) * w + 1; x <= z * w; x++) sum += light[x]
				printf "%s,%d,%.9f\n", file, z, 100 - 100 * sum / (255 * height * w)
			}
		}'
}

zones_by_magick() { # file
	width=$(vipsheader -f width "$1")
	{
		convert "$1" -precision 12 -format '%[fx:mean]\n' info:
		convert "$1" -crop "$((width / 21))x0" +repage -precision 12 -format '%[fx:mean]\n' info:
	} | awk -v file="$1" '{ printf "%s,%s,%.9f\n", file, (NR > 1 ? NR - 1 : ""), 100 - 100 * $1 }'
}

echo file,zone,coverage_pct >"$tmp/count.csv"
for file in 'harbour-fair(Black).tif' harbour-fair_C.tif harbour-fair_M.tif \
	harbour-fair_Y.png 'harbour-fair.Harbour Red.tif'; do
	zones_by_vips "$file" >"$tmp/vips"
	if [ "$file" != 'harbour-fair(Black).tif' ]; then
		zones_by_magick "$file" >"$tmp/magick"
		paste -d, "$tmp/vips" "$tmp/magick" | awk -F, '
			{ d = $3 - $6 } $2 != $5 || d * d > 1e-8 { print; bad = 1 }
			END { exit bad || NR != 22 }' >&2 ||
			fail "$file: libvips and ImageMagick count differently; see the lines above"
	fi
	cat "$tmp/vips" >>"$tmp/count.csv"
done

# ink_cov weighs each pixel by its tone, inkcov counts every pixel that has any
# ink at all. Neither knows spot inks, so the source is drawn twice.
inkcov() { # device SpotAs
	gs -q -dSAFER -dBATCH -dNOPAUSE -r600 -sDEVICE="$1" -sSpotAs="$2" -o - harbour-fair.ps
}
echo ink,device,coverage_pct >"$tmp/inkcov.csv"
inkcov ink_cov none | awk '{ printf "Cyan,ink_cov,%s\nMagenta,ink_cov,%s\nYellow,ink_cov,%s\nBlack,ink_cov,%s\n", $1, $2, $3, $4 }' >>"$tmp/inkcov.csv"
inkcov ink_cov only | awk '{ printf "Harbour Red,ink_cov,%s\n", $4 }' >>"$tmp/inkcov.csv"
inkcov inkcov none | awk '{ printf "Cyan,inkcov,%s\nMagenta,inkcov,%s\nYellow,inkcov,%s\nBlack,inkcov,%s\n", 100 * $1, 100 * $2, 100 * $3, 100 * $4 }' >>"$tmp/inkcov.csv"
inkcov inkcov only | awk '{ printf "Harbour Red,inkcov,%s\n", 100 * $4 }' >>"$tmp/inkcov.csv"

cp "$tmp/count.csv" "$out/independent-count.csv"
cp "$tmp/inkcov.csv" "$out/independent-inkcov.csv"
