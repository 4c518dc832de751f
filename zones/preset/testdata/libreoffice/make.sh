#!/bin/sh
# Has a real LibreOffice open and save the two files of this folder, as README.md
# says. Usage: sh make.sh, in this folder; needs soffice (Debian: libreoffice-calc).
set -e
profiles=$(mktemp -d)
trap 'rm -rf "$profiles"' EXIT

# office LOCALE ARG...: soffice in a fresh profile that has a locale's habits.
office() {
	profile=$profiles/$1
	if [ ! -d "$profile" ]; then
		mkdir -p "$profile/user"
		cat >"$profile/user/registrymodifications.xcu" <<X
<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>$1</value></prop></item></oor:items>
X
	fi
	shift
	soffice "-env:UserInstallation=file://$profile" --headless "$@" >/dev/null 2>&1
}

# save SOURCE NAME LOCALE DETECT SEPARATOR CHARSET: SOURCE.csv as LibreOffice of
# LOCALE saves it, with special numbers DETECTed as where they are typed. The
# tokens are those of LibreOffice's help on filter options for CSV; 44 is a
# comma, 59 a semicolon, 9 a tab; 76 UTF-8, 65535 UTF-16, 1 Windows-1252.
save() {
	out=$profiles/out
	office "$3" --infilter="Text - txt - csv (StarCalc):44,34,76,1,,0,false,$4" \
		--convert-to "csv:Text - txt - csv (StarCalc):$5,34,$6,1,,0,false,true,false" --outdir "$out" "$1.csv"
	mv "$out/$1.csv" "$1-$2.csv"
}

# workbook SOURCE NAME LOCALE: the same by way of an .xlsx.
workbook() {
	out=$profiles/out
	office "$3" --infilter="Text - txt - csv (StarCalc):44,34,76,1,,0,false,false" --convert-to xlsx --outdir "$out" "$1.csv"
	office "$3" --convert-to "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false" --outdir "$out" "$out/$1.xlsx"
	mv "$out/$1.csv" "$1-$2.csv"
}

for source in turns percent; do
	save $source en en-US false 44 76
	save $source en-typed en-US true 44 76
	save $source en-utf16 en-US false 9 65535
	save $source de de-DE false 59 76
	save $source de-typed de-DE true 59 76
	save $source de-commas de-DE false 44 76
	save $source fr fr-FR false 59 76
	save $source fr-typed fr-FR true 9 65535
	save $source fr-ansi fr-FR false 59 1
	workbook $source en-xlsx en-US
	workbook $source de-xlsx de-DE
done
