//go:build !js

package report

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"strings"

	"kneepoint/internal/chart"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

var (
	//go:embed page.html
	pageText string
	//go:embed page.css
	pageLook string

	pageTemplate = template.Must(template.New("page").Parse(pageText))
)

// HTML writes the page as one file that refers to nothing outside itself and prints on
// A4 and US Letter. What a table shows to the resolution of a gauge stands beside it in
// full, in SI, as the value of a data element, and the JSON of each answer in a block
// of its own. Tables in detail are in that block alone. Caution stands once.
//
// It fails for what Text, JSON and chart.Inline refuse, and when w does.
func HTML(w io.Writer, p Page) error {
	view := pageView{Page: p, Caution: Caution, Look: look(), Inputs: inputGroups(p)}
	view.Policy = policy(view.Look)
	var err error
	if view.Data, err = dataBlock(p.Scenario); err != nil {
		return err
	}
	if view.Front, err = newFrontView(p.Front, p.Units); err != nil {
		return fmt.Errorf("the first page: %w", err)
	}
	said := map[string]bool{}
	for _, s := range p.Studies {
		section, err := newSection(s, p.Units)
		if err != nil {
			return fmt.Errorf("%s: %w", s.Verb, err)
		}
		section.Words = onlyNew(section.Words, said)
		view.Sections = append(view.Sections, section)
	}
	var b bytes.Buffer
	if err := pageTemplate.Execute(&b, view); err != nil {
		return err
	}
	return writeInert(w, b.String())
}

// A pageView is what the template sees.
type pageView struct {
	Page
	Front    *frontView
	Caution  string
	Look     template.CSS
	Policy   string
	Inputs   []inputGroup
	Data     template.JS
	Sections []section
}

// Single tells that there is no choice of where to look.
func (v pageView) Single() bool { return len(v.Sections) == 1 }

// UnitsName names the system of the figures.
func (v pageView) UnitsName() string {
	if v.Units == si.US {
		return "US"
	}
	return "SI"
}

// A section is one answer on the page.
type section struct {
	Study
	Words   []string
	Figures []figure
	Tables  []tableView
	// Left names the tables that are only in the data.
	Left []leftOut
	Data template.JS
}

// A leftOut is a table too long to print.
type leftOut struct {
	Name string
	Rows int
}

// Short is the first paragraph.
func (s section) Short() string {
	if len(s.Words) == 0 {
		return ""
	}
	return s.Words[0]
}

func newSection(study Study, units si.System) (section, error) {
	s := section{Study: study, Words: study.Answer.Words(units)}
	for i, t := range study.Answer.Tables() {
		if t.Detail {
			s.Left = append(s.Left, leftOut{t.Name, len(t.Rows)})
			continue
		}
		views, err := tableViews(t, units, fmt.Sprintf("%s-table-%d", study.Verb, i+1))
		if err != nil {
			return section{}, err
		}
		s.Tables = append(s.Tables, views...)
	}
	for i, f := range study.Answer.Figures() {
		drawn, err := newFigure(f, units, fmt.Sprintf("%s-picture-%d", study.Verb, i+1))
		if err != nil {
			return section{}, err
		}
		s.Figures = append(s.Figures, drawn)
	}
	var err error
	s.Data, err = dataBlock(study.Answer.Document())
	return s, err
}

// onlyNew leaves out the paragraphs behind the first that an earlier answer on the page
// has said already, such as a warning that holds for all of them.
func onlyNew(words []string, said map[string]bool) []string {
	var left []string
	for i, w := range words {
		if i == 0 || !said[w] {
			left = append(left, w)
		}
		said[w] = true
	}
	return left
}

// A figure is drawn twice, so that its text stays legible on a phone.
type figure struct {
	Wide, Narrow template.HTML
	// Paper is in place of Wide on paper, each piece low enough to fit on what is left of
	// a page; empty where Wide is.
	Paper       []template.HTML
	Title, Note string
	// Cut says what of it is not on paper.
	Cut string
}

// Widths of a picture in points.
const (
	wideFigure   = 648
	narrowFigure = 350
)

// paperBars is how many bars a picture on paper has room for.
const paperBars = 9

func newFigure(f answer.Figure, units si.System, id string) (figure, error) {
	out := figure{Title: f.Title, Note: strings.TrimSpace(strings.TrimSuffix(f.Note, answer.PlanningNote))}
	draw := func(f answer.Figure, width float64, id string) (template.HTML, error) {
		text, err := chart.Inline(f, units, width, id)
		return template.HTML(text), err
	}
	var err error
	if out.Wide, err = draw(f, wideFigure, id); err != nil {
		return figure{}, err
	}
	if out.Narrow, err = draw(f, narrowFigure, id+"-narrow"); err != nil {
		return figure{}, err
	}
	for i, p := range f.Panels {
		if len(f.Panels) == 1 && len(p.Bars) <= paperBars {
			break
		}
		if n := len(p.Bars); n > paperBars {
			p.Bars = p.Bars[:paperBars]
			out.Cut = fmt.Sprintf("The first %d of %d.", paperBars, n)
		}
		piece := f
		piece.Panels = []answer.Panel{p}
		drawn, err := draw(piece, wideFigure, fmt.Sprintf("%s-paper-%d", id, i+1))
		if err != nil {
			return figure{}, err
		}
		out.Paper = append(out.Paper, drawn)
	}
	return out, nil
}

// dataBlock is a document as JSON within a script element: without the characters that
// could end the element. It fails as JSON does.
func dataBlock(doc any) (template.JS, error) {
	var plain, safe bytes.Buffer
	if err := writeJSON(&plain, doc, ""); err != nil {
		return "", err
	}
	json.HTMLEscape(&safe, bytes.TrimSpace(plain.Bytes()))
	return template.JS(safe.String()), nil
}

// look is the style sheet, with the colours that pictures take where it is dark.
func look() template.CSS {
	return template.CSS(strings.Replace(pageLook, "/* pictures in the dark */", chart.DarkCSS(), 1))
}

// policy allows the page's one style sheet, by its digest, and nothing else.
func policy(look template.CSS) string {
	digest := sha256.Sum256([]byte(look))
	return fmt.Sprintf("default-src 'none'; style-src 'sha256-%s'; base-uri 'none'; form-action 'none'",
		base64.StdEncoding.EncodeToString(digest[:]))
}
