package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"

	"kneepoint/sim/answer"
)

// A Basis is what stands beside the figures of every JSON document.
type Basis struct {
	Program Release `json:"program"`
	// Hash is that of all values of the input.
	Hash string `json:"input_sha256"`
	// Assumed are all values that nobody gave.
	Assumed []AssumedValue `json:"assumed"`
	Caution string         `json:"caution"`
}

// A Release says which program found the figures. On what it ran is of no matter: they
// are the same.
type Release struct {
	Version string `json:"version"`
}

// An AssumedValue is a value taken because none was given.
type AssumedValue struct {
	Key string `json:"key"`
	// Value is a number in SI, a list, a word, or true or false.
	Value any `json:"value"`
	// Low and High are between which values it may lie, in SI; nil where that cannot be
	// said.
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
	// Unit is that of the numbers, as keys end with it: "pa"; empty without one.
	Unit         string `json:"si_unit"`
	Meaning      string `json:"meaning"`
	HowToMeasure string `json:"how_to_measure"`
	// Estimate says that the value has no source.
	Estimate bool `json:"estimate"`
}

// NewBasis returns the basis of an answer of this program.
func NewBasis(hash string, assumed []AssumedValue) Basis {
	if assumed == nil {
		assumed = []AssumedValue{}
	}
	return Basis{Program: Release{ThisProgram().Version}, Hash: hash, Assumed: assumed, Caution: Caution}
}

// JSONOn writes what JSON does, with the basis after the last key of the document, which
// has to be an object.
func JSONOn(w io.Writer, ans answer.Answer, on Basis) error {
	doc, err := on.Under(ans.Document())
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := json.Indent(&b, doc, "", "  "); err != nil {
		return err
	}
	b.WriteByte('\n')
	return writeInert(w, b.String())
}

// Under returns the document with the basis after its last key.
func (on Basis) Under(doc any) (json.RawMessage, error) {
	var body, foot bytes.Buffer
	if err := errors.Join(writeJSON(&body, doc, ""), writeJSON(&foot, on, "")); err != nil {
		return nil, err
	}
	object, isObject := bytes.CutSuffix(bytes.TrimSpace(body.Bytes()), []byte("}"))
	if !isObject {
		return nil, errors.New("JSON: a document that is no object has no room for what it rests on")
	}
	if len(object) > 1 {
		object = append(object, ',')
	}
	return append(object, bytes.TrimSpace(foot.Bytes())[1:]...), nil
}
