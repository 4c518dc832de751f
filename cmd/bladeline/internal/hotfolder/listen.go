package hotfolder

import "github.com/fsnotify/fsnotify"

// ears hear of changes on file systems that tell of them; on others looking has to
// do.
type ears struct {
	watcher *fsnotify.Watcher // nil where the system has none
	heard   chan struct{}     // something changed
}

func listen() *ears {
	e := &ears{heard: make(chan struct{}, 1)}
	watcher, err := fsnotify.NewWatcher()
	if err != nil {
		return e
	}
	e.watcher = watcher
	go func() {
		for {
			select {
			case _, open := <-watcher.Events:
				if !open {
					return
				}
			case _, open := <-watcher.Errors: // more happened than it can tell of
				if !open {
					return
				}
			}
			select {
			case e.heard <- struct{}{}:
			default: // that is known
			}
		}
	}()
	return e
}

// to listens to a folder, too. One that was listened to already, and is another by
// now, is no harm to ask for.
func (e *ears) to(folders []string) {
	if e.watcher == nil {
		return
	}
	for _, folder := range folders {
		_ = e.watcher.Add(folder) // or it is looked at
	}
}

func (e *ears) close() {
	if e.watcher != nil {
		e.watcher.Close()
	}
}
