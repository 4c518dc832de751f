# make demo   runs the main job on the examples, writes out/
# make test   all tests, installing the programs that some of them ask
# The other targets are described in DEVELOPERS.md.

GO    ?= go
TOOL   = $(GO) tool -modfile=.tools/go.mod
FUZZ  ?= 60s
FORM   = "examples/harbour-fair(Black).tif" examples/harbour-fair_C.tif examples/harbour-fair_M.tif \
         examples/harbour-fair_Y.png "examples/harbour-fair.Harbour Red.tif"

.PHONY: build test race demo lint bench bench-peers fuzz cover golden deps

build:
	$(GO) build -o bin/bladeline ./cmd/bladeline

demo: build
	@mkdir -p out
	bin/bladeline preset --press two-colour --format table -o out/harbour-fair.csv -o out/harbour-fair.json \
		-o out/harbour-fair.pdf --copies 5000 $(FORM)
	bin/bladeline sheet --paper letter --ink Black -o out/harbour-fair-Black.svg out/harbour-fair.json
	bin/bladeline estimate --copies 5000 out/harbour-fair.json
	bin/bladeline preset --press two-colour --curve uncoated -o out/uncoated.json $(FORM)
	bin/bladeline compare --press two-colour out/harbour-fair.json out/uncoated.json

deps:
	sh .ci/deps

test: deps
	$(GO) vet ./...
	$(GO) test ./...

race: deps
	$(GO) test -race ./...

lint:
	$(TOOL) gofumpt -l -d .
	test -z "$$($(TOOL) gofumpt -l .)"
	$(GO) vet ./...
	$(TOOL) staticcheck ./...
	$(GO) vet ./coverage/testdata/plate ./coverage/testdata/peers ./coverage/testdata/damage/...

# Go's own benchmarks, then a whole plate beside a C program; bench-peers has
# every kind of plate.
bench:
	$(GO) test -run '^$$' -bench . -benchmem ./...
	sh .ci/deps peers
	$(GO) run ./coverage/testdata/peers -only '^Group 4, 256-row strips$$'

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
