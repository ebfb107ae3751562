// Package report writes an answer.Answer as text, CSV or JSON, or several as one HTML
// page, and puts files in their place whole or not at all. It knows no study.
package report
