#!/bin/sh
# Presets every job of a folder of plates, a process a job, on all cores of this
# machine or, with --sshlogin, of several: sh parallel.sh PLATES PRESS OUT
# Each folder in PLATES is a job, and gets one of its name in OUT. What was done is in OUT/joblog, and is not done
# again. It takes GNU parallel (apt-get install parallel).
set -eu
mkdir -p "$3"
parallel --will-cite --joblog "$3/joblog" --resume-failed \
	bladeline preset --press "$2" --out "$3"/'{= s:/+$::; s:.*/:: =}' {} ::: "$1"/*/
