package report

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// hostile is an answer about a car with a title that would act.
type hostile struct{}

const hostileTitle = "=1+1\x1b]0;owned\a\x00\u202egnp"

func (hostile) Words(si.System) []string { return []string{hostileTitle} }
func (hostile) Figures() []answer.Figure { return nil }
func (hostile) Document() any            { return map[string]string{"title": hostileTitle} }
func (hostile) Tables() []answer.Table {
	return []answer.Table{{Name: "t", Columns: []answer.Column{{Key: "title", Title: "title"}}, Rows: [][]answer.Cell{{hostileTitle}}}}
}

func TestATitleActsInNoForm(t *testing.T) {
	t.Parallel()
	write := map[string]func(*bytes.Buffer) error{
		"text": func(b *bytes.Buffer) error { return Text(b, hostile{}, TextOptions{}) },
		"json": func(b *bytes.Buffer) error { return JSON(b, hostile{}) },
		"csv":  func(b *bytes.Buffer) error { return CSV(b, hostile{}, si.SI, "") },
		"html": func(b *bytes.Buffer) error {
			return HTML(b, Page{Title: hostileTitle, File: hostileTitle, Studies: []Study{{Verb: "curve", Question: hostileTitle, Answer: hostile{}}}})
		},
	}
	for form, write := range write {
		var b bytes.Buffer
		require.NoError(t, write(&b), form)
		assert.NotContains(t, b.String(), "\x1b", form)
		assert.NotContains(t, b.String(), "\x00", form)
		assert.NotContains(t, b.String(), "\u202e", form)
		if form != "html" {
			assert.Contains(t, b.String(), `\u202egnp`, form)
		}
	}
}

func TestNoCellIsAFormula(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"=1+1": "'=1+1", "+1+1": "'+1+1", "-2+3+cmd|x": "'-2+3+cmd|x", "@SUM(A1)": "'@SUM(A1)", "\t=1": "'\t=1",
		"--set!A1": "'--set!A1", "--set(1)": "'--set(1)", "--1": "'--1", "--set": "--set", "-o": "'-o",
		"-5 °C": "-5 °C", "+3.5 kPa": "+3.5 kPa", "-40": "-40", "a=b": "a=b", "": "",
	} {
		assert.Equal(t, want, noFormula(text))
	}
}
