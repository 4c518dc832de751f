# make demo   runs the main job on the examples, writes out/
# make test   all tests, installing the programs that some of them ask
# make install   the program, its man pages and what shells complete, below PREFIX
# The other targets are described in DEVELOPERS.md.

GO    ?= go
TOOL   = $(GO) tool -modfile=.tools/go.mod
FUZZ  ?= 60s
PREFIX ?= /usr/local
SHARE  = $(DESTDIR)$(PREFIX)/share
CYCLONEDX = github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod

# What is vetted and built beside this machine's own, and what there is a release for.
TARGETS ?= linux/386 linux/arm windows/386
RELEASED = linux/amd64 linux/arm64 linux/386 darwin/amd64 darwin/arm64 windows/amd64
TSC    = npx -y -p typescript@5.9.3 tsc
FORM   = "examples/harbour-fair(Black).tif" examples/harbour-fair_C.tif examples/harbour-fair_M.tif \
         examples/harbour-fair_Y.png "examples/harbour-fair.Harbour Red.tif"

# On some processors Go multiplies and adds with one rounding (its specification,
# "Floating-point operators"), which changes last digits. It is told not to, so that
# the same input gives the same bytes on every machine; the archives are built so, too.
ifneq ($(filter-out 386 arm amd64v1 amd64v2,$(shell $(GO) env GOARCH)$(shell $(GO) env GOAMD64)),)
export GOFLAGS := $(strip $(shell $(GO) env GOFLAGS) -gcflags=all=-d=fmahash=qn)
endif

.PHONY: build install dist archives test-dist test test-386 targets race demo lint vuln bench bench-peers fuzz cover golden libreoffice deps

build:
	$(GO) build -o bin/bladeline ./cmd/bladeline

install: build
	install -d "$(DESTDIR)$(PREFIX)/bin" "$(SHARE)/bash-completion/completions" "$(SHARE)/zsh/site-functions" "$(SHARE)/fish/vendor_completions.d"
	install -m 755 bin/bladeline "$(DESTDIR)$(PREFIX)/bin/bladeline"
	bin/bladeline docs man "$(SHARE)/man/man1"
	bin/bladeline completion bash > "$(SHARE)/bash-completion/completions/bladeline"
	bin/bladeline completion zsh > "$(SHARE)/zsh/site-functions/_bladeline"
	bin/bladeline completion fish > "$(SHARE)/fish/vendor_completions.d/bladeline.fish"

demo: build
	@mkdir -p out
	bin/bladeline preset --press two-colour --format table -o out/harbour-fair.csv -o out/harbour-fair.json \
		-o out/harbour-fair.pdf --copies 5000 $(FORM)
	bin/bladeline sheet --page-size letter --ink Black -o out/harbour-fair-Black.svg out/harbour-fair.json
	bin/bladeline estimate --copies 5000 out/harbour-fair.json
	bin/bladeline preset --press two-colour --curve uncoated -o out/uncoated.json $(FORM)
	bin/bladeline compare --press two-colour out/harbour-fair.json out/uncoated.json

# The archives of a release, from the commit that is checked out.
dist:
	$(MAKE) targets TARGETS="$(RELEASED)"
	$(MAKE) archives

archives:
	@mkdir -p out/tools
	$(GO) -C .tools build -trimpath -o ../out/tools/ ./dist $(CYCLONEDX)
	out/tools/dist -sbom "$(CURDIR)/out/tools/cyclonedx-gomod" $(RELEASED)

# Makes them twice, in different places and from nothing, and runs those for other
# processors through qemu.
test-dist:
	sh .ci/deps dist
	$(GO) -C .tools vet ./dist
	$(GO) -C .tools test ./dist
	RELEASED="$(RELEASED)" sh .ci/test-dist

deps:
	sh .ci/deps

# The page's tests run when nothing else does: they time what a drag takes.
test: deps targets
	$(GO) vet ./...
	$(GO) -C .tools test ./manifest
	$(GO) test -timeout 20m $$($(GO) list ./... | grep -v '/internal/page$$')
	$(GO) test -timeout 20m ./cmd/bladeline/internal/page

# Processors of 32 bits, and a system that is none of Unix: all of it builds
# there, tests too.
targets:
	@for target in $(TARGETS); do \
		echo "vet and build for $$target"; \
		export GOOS=$${target%/*} GOARCH=$${target#*/}; \
		$(GO) vet ./... && $(GO) build -o /dev/null ./cmd/bladeline || exit 1; \
	done

# Runs where the kernel runs programs of 32 bits, as that of amd64 does.
test-386: deps
	GOARCH=386 $(GO) test ./...

race: deps
	$(GO) test -race ./...

lint:
	$(TOOL) gofumpt -l -d .
	test -z "$$($(TOOL) gofumpt -l .)"
	$(GO) vet ./...
	$(TOOL) staticcheck ./...
	$(GO) vet ./coverage/testdata/plate ./coverage/testdata/peers ./coverage/testdata/damage/...
	@if $(TSC) --version >/dev/null 2>&1; then \
		echo "$(TSC) -p cmd/bladeline/internal/page"; $(TSC) -p cmd/bladeline/internal/page/jsconfig.json; \
	else \
		echo "lint: npm is missing or cannot bring TypeScript; the page's scripts go unchecked" >&2; \
	fi

# Known vulnerabilities that the program can reach, with the Go that go.mod
# names. The database is a module, so nothing is asked but the module proxy; with
# VULNDB=VERSION of one that was fetched before, nobody.
vuln:
	@version=$${VULNDB:-latest}; \
	db=$$($(GO) mod download -json "golang.org/x/vulndb@$$version" | sed -n 's/^\t"Dir": "\(.*\)",$$/\1/p'); \
	test -n "$$db" || { echo "vuln: golang.org/x/vulndb@$$version cannot be had" >&2; exit 1; }; \
	echo "$$db"; \
	GOTOOLCHAIN=auto $(TOOL) govulncheck -db "file://$$db/data/osv" ./...

# Go's own benchmarks, then a whole plate beside a C program (bench-peers has
# every kind of plate), and presets on the simulated trains.
bench:
	$(GO) test -run '^$$' -bench . -benchmem ./...
	sh .ci/deps peers
	$(GO) run ./coverage/testdata/peers -only '^Group 4, 256-row strips$$'
	$(GO) run ./zones/preset/testdata/ontrain

bench-peers:
	sh .ci/deps peers
	$(GO) run ./coverage/testdata/peers

# Every fuzz target of every package, $(FUZZ) each.
fuzz:
	@$(GO) test -list '^Fuzz' ./... | awk '/^Fuzz/{t[++n]=$$1} /^ok/{for(i=1;i<=n;i++)print $$2,t[i]; n=0}' | \
	while read -r package target; do \
		echo "== $$package $$target"; \
		$(GO) test -run '^$$' -fuzz "^$$target\$$" -fuzztime $(FUZZ) -fuzzminimizetime 1s "$$package" || exit 1; \
	done

cover:
	@mkdir -p out
	$(GO) test -coverprofile=out/cover.prof -coverpkg=./... ./...
	$(GO) tool cover -html=out/cover.prof -o out/cover.html

golden:
	UPDATE_GOLDEN=1 $(GO) test ./cmd/bladeline ./zones/sheet

libreoffice:
	WRITE_LIBREOFFICE=1 $(GO) test ./zones/preset -run LibreOfficeSources
	cd zones/preset/testdata/libreoffice && sh make.sh
