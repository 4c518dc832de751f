package main

import (
	"context"
	"errors"
	"os"
	"os/signal"
	"syscall"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"
	"golang.org/x/term"
)

// watched does what reads separations, with a bar of that name on the terminal, until it is
// interrupted.
func watched(c *cobra.Command, name string, r job.Reading, do func(context.Context, job.Reading) error) error {
	bar := progress(c, name)
	defer bar.Finish()
	r.Progress = func(done float64) { bar.Set(int(100 * done)) }
	return interruptible(c, func(ctx context.Context) error { return do(ctx, r) })
}

// interruptible does what reads files, until it is interrupted.
func interruptible(c *cobra.Command, do func(context.Context) error) error {
	ctx, stop := untilInterrupted(c)
	defer stop()
	err := do(ctx)
	if err != nil && ctx.Err() != nil {
		return errors.New("interrupted; nothing was written")
	}
	return err
}

// untilInterrupted is a context that ends where the program is interrupted. To
// interrupt it twice ends the program on the spot.
func untilInterrupted(c *cobra.Command) (ctx context.Context, stop context.CancelFunc) {
	ctx, stop = signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop)
	return ctx, stop
}

// progress is a bar on the terminal, and silent anywhere else.
func progress(c *cobra.Command, name string) *progressbar.ProgressBar {
	terminal, ok := c.ErrOrStderr().(*os.File)
	if !ok || !term.IsTerminal(int(terminal.Fd())) {
		return progressbar.DefaultSilent(100)
	}
	return progressbar.NewOptions(100,
		progressbar.OptionSetWriter(terminal),
		progressbar.OptionSetDescription(name),
		progressbar.OptionClearOnFinish(),
	)
}
