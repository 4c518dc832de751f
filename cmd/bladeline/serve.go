package main

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"net"
	"net/http"
	"os"
	"os/signal"
	"slices"
	"strconv"
	"syscall"
	"time"

	"bladeline/cmd/bladeline/internal/page"
	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"

	"github.com/spf13/cobra"
)

func newServe() *cobra.Command {
	var (
		in     inputFlags
		called string
		listen string
	)
	c := &cobra.Command{
		Use:   "serve [[INK=]FILE...] [--press PRESS]",
		Short: "Open a local page that shows why a key wants what it wants",
		Long: `serve measures the separations, if any are named, and serves a page on this
machine: the form over the fountain, the blade as the keys bend it, and the curve
with a dot a zone. There the curve is edited by hand, the sweep and the press
tried otherwise, files brought by dropping them, forms drawn, and keys set by
eye and scored. What is edited lives in the browser's tab, and outlives a
reload; presets, key sheets and curves are saved from there.

It prints the address to open, and answers this machine alone unless --listen
names another address: then anybody who reaches that may use it. Ctrl-C ends it.

` + cautions,
		Example: `  bladeline serve --press two-colour job_*.tif
  bladeline serve`,
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if !isAddress(listen) {
				return usagef("--listen %s: is no address with a port; say one, as 127.0.0.1:8080", listen)
			}
			o, err := pageOptions(c, args, &in, called)
			if err != nil {
				return err
			}
			return serve(c, o, listen)
		},
	}
	in.addPlacing(c)
	in.addRaster(c)
	c.Flags().StringVar(&called, "press", "", "the `PRESS` to begin with: a file, or a name that press list shows; the default is one that takes the form")
	c.Flags().StringVar(&listen, "listen", "127.0.0.1:0", "`ADDRESS` and port to answer at; port 0 is any that is free")
	return c
}

// pageOptions are what the page begins with. Doubts about the files are shown
// there.
func pageOptions(c *cobra.Command, args []string, in *inputFlags, called string) (page.Options, error) {
	var none page.Options
	placement, err := in.placement()
	if err != nil {
		return none, err
	}
	o, err := choices(called)
	if err != nil {
		return none, err
	}
	o.Placement, o.InkIsLight = placement, in.inkIs == "light"
	if len(args) == 0 {
		return o, nil
	}
	if o.Maps, err = in.read(c, args); err != nil {
		return none, err
	}
	if err := zones.Distinct(o.Maps); err != nil {
		return none, err
	}
	o.Job = coverage.JobName(o.Maps)
	if called == "" {
		o.Presses = fittingFirst(o)
	}
	return o, nil
}

// fittingFirst are the presses with one first that takes the form as it lies,
// where there is one.
func fittingFirst(o page.Options) []page.Press {
	takes := func(p page.Press) bool {
		return !slices.ContainsFunc(o.Maps, func(m *coverage.Map) bool {
			_, _, err := zones.Place(m, p.Press, o.Placement)
			return err != nil
		})
	}
	at := slices.IndexFunc(o.Presses, takes)
	if at < 1 {
		return o.Presses
	}
	rest := slices.Delete(slices.Clone(o.Presses), at, at+1)
	return append([]page.Press{o.Presses[at]}, rest...)
}

// choices are the presses and curves to choose from, the press that is called
// for first.
func choices(called string) (page.Options, error) {
	o := page.Options{Cautions: cautions}
	for _, name := range shipped(curveEnding) {
		c, err := loadCurve(name)
		if err != nil {
			return o, err
		}
		o.Curves = append(o.Curves, c)
	}
	names := shipped(pressEnding)
	if called != "" {
		names = append([]string{called}, slices.DeleteFunc(names, func(n string) bool { return n == called })...)
	}
	for _, name := range names {
		p, err := pagePress(name, o.Curves[0])
		if err != nil {
			return o, err
		}
		o.Presses = append(o.Presses, p)
	}
	return o, nil
}

// pagePress is a press with its curves; otherwise is the curve of one that
// names none.
func pagePress(name string, otherwise *curves.Curve) (page.Press, error) {
	press, file, err := loadPress(name)
	if err != nil {
		return page.Press{}, err
	}
	p := page.Press{Base: name, Press: press, Curve: otherwise, ByInk: map[string]*curves.Curve{}}
	if press.DefaultCurve != "" {
		if p.Curve, err = curveOf(everyInk, nil, press, file); err != nil {
			return p, err
		}
	}
	for _, ink := range slices.Sorted(maps.Keys(press.Curves)) {
		if p.ByInk[ink], err = curveOf(ink, nil, press, file); err != nil {
			return p, err
		}
	}
	return p, nil
}

// The times that a client has to say what it wants.
const (
	headerTime = 10 * time.Second
	idleTime   = 2 * time.Minute
	endTime    = 2 * time.Second
)

// opened is the address to open of a server that answers at one, or at all of
// this machine's.
func opened(at net.Addr) string {
	tcp, ok := at.(*net.TCPAddr)
	if ok && tcp.IP.IsUnspecified() {
		return fmt.Sprintf("127.0.0.1:%d", tcp.Port)
	}
	return at.String()
}

// isAddress tells whether a text can be one to listen at. The host may be left
// out, which is all of this machine's.
func isAddress(listen string) bool {
	_, port, err := net.SplitHostPort(listen)
	if err == nil {
		_, err = strconv.ParseUint(port, 10, 16)
	}
	return err == nil
}

// unheard says why an address cannot be listened at, and what to do.
func unheard(err error) string {
	_, unknown := errors.AsType[*net.DNSError](err)
	switch {
	case unknown:
		return "no machine of this name can be found; say an address of this machine, as 127.0.0.1:8080"
	case errors.Is(err, syscall.EADDRNOTAVAIL):
		return "is no address of this machine; say one that it has, as 127.0.0.1:8080"
	case errors.Is(err, syscall.EADDRINUSE):
		return "another program answers there; say another port"
	case errors.Is(err, syscall.EACCES):
		return "this port is not free to every user; say one above 1023"
	}
	return fmt.Sprintf("cannot be answered at: %v; say another address or port", err)
}

// serve answers until it is interrupted.
func serve(c *cobra.Command, o page.Options, listen string) error {
	handler, err := page.New(o)
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", listen)
	if err != nil {
		return fmt.Errorf("--listen %s: %s", listen, unheard(err))
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	server := &http.Server{Handler: handler, ReadHeaderTimeout: headerTime, IdleTimeout: idleTime}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	fmt.Fprintf(c.OutOrStdout(), "http://%s/\n", opened(listener.Addr()))
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	ending, cancel := context.WithTimeout(context.Background(), endTime)
	defer cancel()
	if err := server.Shutdown(ending); errors.Is(err, context.DeadlineExceeded) {
		return server.Close() // a client that is still sending is cut off
	}
	return nil
}
