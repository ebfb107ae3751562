# Time for the error achieved, beside CVODE and SciPy; see DEVELOPERS.md.
.PHONY: bench
bench:
	CGO_ENABLED=1 go run -tags sundials ./internal/cvode/workprecision -o testdata/workprecision-$$(date +%F)
