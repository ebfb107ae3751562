.PHONY: bench cars firefox fuzz page release test

# The tests, and how many were skipped and why. RUN="-short" leaves out what is heavy.
test:
	.ci/test $(RUN) ./...

# Five times as many random cars as go test takes: some minutes.
cars:
	go test -count=1 -run 'OneCar|WeakerParts|LessVacuum' ./sim/study -cars 5

# Time for the error achieved, beside CVODE and SciPy; see DEVELOPERS.md.
bench:
	CGO_ENABLED=1 go -C internal/bench run -tags sundials ./cvode/workprecision -o testdata/workprecision-$$(date +%F)

# The page with the whole program inside.
page:
	go -C internal/pagebuild run . -o ../../dist/kneepoint.html
	cp dist/kneepoint.html internal/pagefile/

# The page of make page held to the command line in Firefox: three minutes.
firefox:
	KNEEPOINT_NEED_FIREFOX=1 KNEEPOINT_PAGE=$(CURDIR)/dist/kneepoint.html go test -count=1 -run Firefox ./internal/cli

# Every fuzz target in turn, FUZZTIME seconds in all.
FUZZTIME ?= 75
fuzz:
	.ci/fuzz $(FUZZTIME)

# What is handed out, into dist/: see CONTRIBUTING.md. Built with the newest patch of Go,
# which the go command fetches; RELEASE_GO=local takes the one that is there.
# ONLY=linux-amd64 builds for one system alone.
RELEASE_GO = go1.26.11
release: export GOTOOLCHAIN = $(RELEASE_GO)
release:
	rm -rf dist
	if $(MAKE) --dry-run page >/dev/null 2>&1; then $(MAKE) page; fi
	go run ./internal/release -o dist $(if $(ONLY),-only $(ONLY))
