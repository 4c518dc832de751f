package hotfolder

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
)

// errorEnding is that of the file that says why a job failed.
const errorEnding = ".error.txt"

// leavingName is the record of a job that failed and whose files are on their way out
// of the folder: where the program is killed meanwhile those that are left are no job.
const leavingName = ".bladeline-leaving.json"

// A MissingError is of a job that did not come whole.
type MissingError struct {
	Job     string
	Missing []string // inks, or names in its form file
	Waited  time.Duration
}

func (e *MissingError) Error() string {
	is := "is"
	if len(e.Missing) > 1 {
		is = "are"
	}
	return fmt.Sprintf("%s: %s %s missing after %v; put them beside the others, or ask for fewer inks", e.Job, strings.Join(e.Missing, ", "), is, e.Waited)
}

// namesakes refuses a job that is called as another one that lies in the folder.
func namesakes(t task) error {
	for _, f := range t.files {
		if f.read.Refused != nil {
			return f.read.Refused
		}
	}
	return nil
}

// fail writes why a job failed, beside what was made of it before, or, where failed
// jobs are moved, beside its files.
func (w *Watcher) fail(t task, folder, why string) error {
	if w.Failed == "" {
		if err := makeFolder(folder); err != nil {
			return err
		}
		return w.writeWhy(t, folder, why, exists(filepath.Join(folder, recordName)))
	}
	leaving := recordOf(t.name, t.files, nil, 0)
	if err := makeFolder(folder); err != nil {
		return err
	}
	if err := job.WriteFiles([]job.File{{Path: filepath.Join(folder, leavingName), Write: leaving.write}}); err != nil {
		return err
	}
	target := filepath.Join(w.Failed, folderName(t.name))
	if err := makeFolder(target); err != nil {
		return err
	}
	if err := w.writeWhy(t, target, why, false); err != nil {
		return err
	}
	return w.leave(t, folder)
}

// leave moves the files of a failed job out of the folder.
func (w *Watcher) leave(t task, folder string) error {
	if err := w.move(w.Failed, t); err != nil {
		return err
	}
	os.Remove(filepath.Join(folder, leavingName))
	os.Remove(folder) // stays where something was made of the job before
	return nil
}

// isLeft tells whether files are what is left of a failed job that is on its way out.
func (w *Watcher) isLeft(t task, folder string) (bool, error) {
	if w.Failed == "" {
		return false, nil
	}
	leaving, err := loadRecord(folder, leavingName)
	if err != nil || leaving == nil {
		return false, err
	}
	if leaving.covers(t.files) {
		return true, nil
	}
	os.Remove(filepath.Join(folder, leavingName)) // others came
	return false, nil
}

func (w *Watcher) writeWhy(t task, folder, why string, before bool) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s is not preset.\n\n%s\n\nIts files:\n", t.name, why)
	for _, f := range t.files {
		fmt.Fprintf(&b, "  %s, %d bytes, changed %s\n", settings.Printable(f.name), f.size, f.time.Format(time.DateTime))
	}
	b.WriteString("\nIt is tried again when they change.\n")
	if before {
		b.WriteString("\nThe preset beside this text is of an earlier state of the job: do not run these\nplates by it.\n")
	}
	return job.WriteFiles([]job.File{job.Bytes(filepath.Join(folder, fileName(t.name)+errorEnding), []byte(b.String()))})
}

// forgive removes what an earlier failure left.
func forgive(folder, name string) {
	os.Remove(filepath.Join(folder, fileName(name)+errorEnding))
	os.Remove(filepath.Join(folder, leavingName))
}

// makeFolder makes a folder in one that is there.
func makeFolder(path string) error {
	if err := os.Mkdir(path, 0o777); err != nil && !isFolder(path) {
		return job.Unwritten(path, err)
	}
	return nil
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// unchanged tells whether files are as they were listed.
func (w *Watcher) unchanged(files []file) bool {
	return !slices.ContainsFunc(files, func(f file) bool {
		info, err := os.Stat(w.lister.path(f.name))
		return err != nil || info.Size() != f.size || !info.ModTime().Equal(f.time)
	})
}
