package job

import (
	"cmp"
	"os"

	"bladeline/zones/sheet"
)

// strange are files that are put beside separations and are none, by their endings,
// with what to do.
var strange = []struct {
	endings []string
	what    string
}{
	{[]string{".jpg", ".jpeg", ".jpe"}, "a JPEG holds a picture and no separation; export the separations as TIFF, or give the PDF"},
	{[]string{".zip", ".7z", ".rar", ".gz", ".tgz", ".tar"}, "an archive is not looked into; unpack it"},
	{[]string{".gif", ".bmp", ".webp", ".heic", ".psd"}, "a picture in a format that is not read here; export the separations as TIFF or PNG"},
}

// Strange says why a file of this name is no job's, and what to do, where somebody may
// well think that it is one's; else it is "".
func Strange(name string) string {
	for _, s := range strange {
		if hasEnding(name, s.endings) {
			return s.what
		}
	}
	return ""
}

// OwnSheet is what is said of a sheet that lies among the files of jobs.
const OwnSheet = "a sheet that bladeline drew"

// IsOwnSheet tells whether a file is a sheet that this program drew as a PDF, which is
// no form to be preset.
func IsOwnSheet(path string) bool {
	if !hasEnding(path, []string{".pdf"}) {
		return false
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	info, err := f.Stat()
	return err == nil && info.Mode().IsRegular() && sheet.IsSheet(f, info.Size())
}

// noJobs is why a raster's name is of no job.
func noJobs(name string) string {
	return cmp.Or(Strange(name), "neither TIFF, PNG, PDF, PostScript, saved coverage nor a form file")
}
