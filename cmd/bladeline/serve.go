package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"runtime/debug"
	"strconv"
	"syscall"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/cmd/bladeline/internal/page"
	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset/rehearsal"

	"github.com/spf13/cobra"
)

func newServe() *cobra.Command {
	var (
		in     inputFlags
		called string
		listen string
		token  bool
		stock  string
		curves []string
	)
	c := &cobra.Command{
		Use:   "serve [[INK=]FILE...] [--press PRESS]",
		Short: "Open a local page that shows why a key wants what it wants",
		Long: `serve measures the separations, if any are named, and serves a page on this
machine: the form over the fountain, the blade as the keys bend it, and the curve
with a dot per zone. There the curve is edited by hand, other sweeps and presses
are tried, files are dropped, forms are drawn, and keys are set by eye and
scored. What is edited stays in the browser's tab, and survives a
reload; presets, key sheets and curves are saved from there.

It prints the address to open, and answers this machine alone unless --listen
names another address: then anybody who can reach that can use it, as can every
account on this machine. With --token the address that is printed carries one,
and whoever does not know it gets no answer. Ctrl-C ends it.

` + cautions,
		Example: `  bladeline serve --press two-colour job_*.tif
  bladeline serve`,
		Args: cobra.ArbitraryArgs,
		RunE: matched(func(c *cobra.Command, args []string) error {
			if err := page.CheckTemporary(); err != nil {
				return err
			}
			listener, err := listenAt(listen)
			if err != nil {
				return err
			}
			defer listener.Close()
			if err := checkStock(c, stock); err != nil {
				return err
			}
			o, err := pageOptions(c, args, &in, called)
			if err != nil {
				return err
			}
			if err := askCurves(&o, curves); err != nil {
				return err
			}
			o.AskToken, o.Paper = token, stock
			return serve(c, o, listener)
		}),
	}
	in.addPlacing(c)
	in.addRaster(c)
	in.addPDF(c, true)
	c.Flags().StringVar(&called, "press", "", "the `PRESS` to begin with: a file, or a name that press list shows; the default is the narrowest that takes the form")
	c.Flags().StringArrayVar(&curves, "curve", nil, "`[INK=]CURVE`: a file, or the name of one that ships, instead of the press's own; may be repeated")
	c.Flags().StringVar(&stock, "paper", "", paperUsage)
	c.Flags().StringVar(&listen, "listen", "127.0.0.1:0", "listen at this `ADDRESS` and port; port 0 is any free one")
	c.Flags().BoolVar(&token, "token", false, "answer only browsers that open the address as it is printed, with its token")
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
	o := page.Options{Cautions: cautions, Cure: cureWarnings, PressNamed: called != "", Placement: placement, InkIsLight: in.inkIs == "light"}
	if o.Library, err = job.LoadLibrary(called); err != nil {
		return none, err
	}
	if len(args) == 0 {
		return o, nil
	}
	if o.Maps, err = in.read(c, args); err != nil {
		return none, err
	}
	r, err := in.reading(args)
	if err != nil {
		return none, err
	}
	var blank []*coverage.Map
	o.Maps, blank = r.Printing(o.Maps)
	sayBlank(c, blank)
	if err := zones.Distinct(o.Maps); err != nil {
		return none, err
	}
	in.pdf.show(c)
	o.Job = coverage.JobName(o.Maps)
	if called == "" {
		o.PutFirst(o.Maps, placement)
	}
	return o, nil
}

// askCurves has the page begin with curves in place of the presses' own.
func askCurves(o *page.Options, given []string) error {
	choices, err := perInk("--curve", given, asItIs)
	if err != nil {
		return err
	}
	if len(o.Maps) > 0 { // else the inks are not known yet
		_, err = job.Choose(job.OfCurve, choices, job.InksOf(o.Maps))
	}
	if err == nil {
		err = o.Ask(choices)
	}
	return flagged(err, map[string][]string{job.OfCurve: given})
}

// What a client has to say what it wants: times, and room.
const (
	headerBytes = 64 << 10
	headerTime  = 10 * time.Second
	idleTime    = 2 * time.Minute
	endTime     = 2 * time.Second
)

// listenAt listens at an address and port. Every wrong one is told before any
// file is read.
func listenAt(address string) (net.Listener, error) {
	_, port, err := net.SplitHostPort(address)
	if _, odd := strconv.ParseUint(port, 10, 16); err != nil || odd != nil {
		return nil, usagef("--listen %s: not an address and port; give them as 127.0.0.1:8080, with port 0 for any free one", cmp.Or(address, `""`))
	}
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return nil, fmt.Errorf("--listen %s: %s", address, unanswerable(err))
	}
	return listener, nil
}

// unanswerable says why there is no listening at an address.
func unanswerable(err error) string {
	if _, named := errors.AsType[*net.DNSError](err); named {
		return "no machine has this name; give an address of this one, as 127.0.0.1:8080"
	}
	for cause, what := range map[error]string{
		syscall.EADDRINUSE:    "another program answers there already; give another port, or 0 for any free one",
		syscall.EADDRNOTAVAIL: "not an address of this machine; give one of its own, as 127.0.0.1:8080",
		syscall.EACCES:        "this port needs a right that you do not have; give one above 1023, or 0 for any free one",
	} {
		if errors.Is(err, cause) {
			return what
		}
	}
	return "cannot be listened at; give another address or port"
}

// openedAt are the addresses to open of a server that answers at one, or at all
// of this machine's: those that need no word on which network they are of.
func openedAt(at *net.TCPAddr) []*net.TCPAddr {
	if !at.IP.IsUnspecified() {
		return []*net.TCPAddr{at}
	}
	all := []*net.TCPAddr{{IP: net.IPv4(127, 0, 0, 1), Port: at.Port}}
	own, _ := net.InterfaceAddrs() // a machine that does not tell has this one all the same
	for _, a := range own {
		if n, ok := a.(*net.IPNet); ok && n.IP.IsGlobalUnicast() {
			all = append(all, &net.TCPAddr{IP: n.IP, Port: at.Port})
		}
	}
	return all
}

// announce prints where the page is, and who else can come. An address without
// a token opens it for anybody.
func announce(c *cobra.Command, at *net.TCPAddr, query string) {
	for _, a := range openedAt(at) {
		fmt.Fprintf(c.OutOrStdout(), "http://%s/%s\n", a, query)
	}
	switch {
	case at.IP.IsLoopback():
	case query != "":
		fmt.Fprintln(c.ErrOrStderr(), "bladeline: warning: the token crosses the network unencrypted, and whoever reads it there can use this page; leave --listen out to keep it to this machine")
	default:
		fmt.Fprintln(c.ErrOrStderr(), "bladeline: warning: others on the network can reach this page and use it; leave --listen out to keep it to this machine")
	}
}

// newServer bounds what a client may take before it is known what it wants.
func newServer(handler http.Handler) *http.Server {
	return &http.Server{Handler: handler, ReadHeaderTimeout: headerTime, IdleTimeout: idleTime, MaxHeaderBytes: headerBytes}
}

// serve answers until it is interrupted.
func serve(c *cobra.Command, o page.Options, listener net.Listener) error {
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(rehearsal.MostMemory))
	handler, err := page.New(o)
	if err != nil {
		return err
	}
	ctx, stop := untilInterrupted(c)
	defer stop()
	server := newServer(handler)
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	announce(c, listener.Addr().(*net.TCPAddr), handler.Query())
	if err := unprinted(c.OutOrStdout()); err != nil { // nobody would know where to go
		server.Close()
		return err
	}
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
