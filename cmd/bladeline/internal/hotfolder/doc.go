// Package hotfolder presets what is put into a folder, without anybody looking:
// separations, form files and PDFs become presets and key sheets, each job once.
//
// names.go reads off a file's name which job it is of. folder.go looks at what
// is there, ready.go tells what has been still for long enough, queue.go what is
// next; work.go presets one job through package job. What was done stands in a
// record beside the outputs (record.go), which is written last: so a job is done
// once, however often the program is killed. lock.go keeps a second watcher away.
//
// The package prints nothing and knows no flags: entries of a log and a status are
// values that are handed to a front end.
package hotfolder
