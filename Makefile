.PHONY: bench fuzz

# Time for the error achieved, beside CVODE and SciPy; see DEVELOPERS.md.
bench:
	CGO_ENABLED=1 go -C internal/bench run -tags sundials ./cvode/workprecision -o testdata/workprecision-$$(date +%F)

# Every fuzz target in turn, FUZZTIME seconds in all.
FUZZTIME ?= 75
fuzz:
	.ci/fuzz $(FUZZTIME)
