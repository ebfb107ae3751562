package web

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/ask"
	"kneepoint/scenarios"
	"kneepoint/sim/scenario"
)

// An answer that is not understood is said beside its question, in the words of the
// command line, and what the scenario says is known.
func TestAskSaysWhatItDoesNotUnderstand(t *testing.T) {
	c := newClient(t, nil)
	var out askReply
	c.post("/api/ask", `{"name":"mine.toml","text":"[master]\nbore = \"1 in\"\n","answers":[{"question":"booster","answer":"sofa"},{"question":"vacuum in gear","answer":"11 inHg"}],"page":true}`, http.StatusOK, &out)
	assert.Contains(t, out.Slips["booster"], `read "sofa", want `)
	assert.Len(t, out.Slips, 1)
	assert.Equal(t, `master.bore = 1 in`, out.Said["bore"])
	assert.Nil(t, out.Page, "nothing is judged on half an understanding")

	var no refusal
	c.post("/api/ask", `{"name":"mine.toml","text":"[master]\nbore = \"1 on\"\n","answers":[]}`, http.StatusUnprocessableEntity, &no)
	require.NotEmpty(t, no.Problems)
	assert.True(t, strings.HasPrefix(no.Problems[0], `mine.toml:2: master.bore: read "1 on"`), no.Problems[0])
}

// What nobody said of a car is not in the document that the answers make, which gives the
// same car all the same.
func TestAskLeavesUnknownWhatNobodySaid(t *testing.T) {
	c := newClient(t, nil)
	var out askReply
	c.post("/api/ask", `{"text":"","answers":[{"question":"vacuum in gear","answer":"11 inHg"},{"question":"booster","answer":"8 in dual"}],"page":true}`, http.StatusOK, &out)
	require.NotEmpty(t, out.Document)
	assert.Contains(t, out.Document, "11 inHg")
	assert.NotContains(t, out.Document, "[master]")

	base, err := scenario.Builtin()
	require.NoError(t, err)
	answers := ask.New(base)
	require.NoError(t, answers.Put("vacuum in gear", "11 inHg"))
	require.NoError(t, answers.Put("booster", "8 in dual"))
	car, err := answers.Car()
	require.NoError(t, err)
	again, err := scenario.Read(strings.NewReader(out.Document), "again.toml")
	require.NoError(t, err)
	assert.Equal(t, car.Scenario.Document(), again.Document())
}

// The search for a fault begins with the complaint; its state is the text alone.
func TestInterviewIsItsText(t *testing.T) {
	c := newClient(t, nil)
	var out interviewReply
	c.post("/api/interview", `{"text":"","units":"us"}`, http.StatusOK, &out)
	require.NotNil(t, out.Question)
	assert.Equal(t, "complaint", out.Question.Key)

	var no refusal
	c.post("/api/interview", `{"text":"","units":"us","answer":"sad"}`, http.StatusUnprocessableEntity, &no)
	require.NotEmpty(t, no.Problems)
	assert.Contains(t, no.Problems[0], `complaint: read "sad", want `)
	c.post("/api/interview", `{"text":"","units":"imperial"}`, http.StatusBadRequest, &no)
	c.post("/api/interview", `{"text":"[booster]\nratio = 0.2\n","units":"us"}`, http.StatusUnprocessableEntity, &no)
	assert.Contains(t, no.Problems[0], "scenario.toml:2: booster.ratio")
}

// A log that cannot be is said with its line; the car of the scenario stays out of it.
func TestFitSaysWhatIsWrongWithALog(t *testing.T) {
	c := newClient(t, nil)
	var no refusal
	c.post("/api/fit", `{"text":"","log_name":"gauge.csv","log":"time [s],vacuum [inHg]\n0,18\n1,cat\n"}`, http.StatusUnprocessableEntity, &no)
	require.NotEmpty(t, no.Problems)
	assert.Contains(t, no.Problems[0], "gauge.csv:3: ")
}

// Only what was given goes before a car that the page kept.
func TestSetupSaysWhetherACarWasGiven(t *testing.T) {
	var s setup
	newClient(t, nil).get("/api/setup", http.StatusOK, &s)
	assert.Empty(t, s.Given)
	assert.Len(t, s.Questions, 15)
	assert.NotEmpty(t, s.Complaints)
	newClient(t, starterScenario(t, scenarios.Names()[0])).get("/api/setup", http.StatusOK, &s)
	assert.Contains(t, s.Given, "title = ")
}
