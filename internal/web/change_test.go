package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/scenarios"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Every slider of every starter takes both ends of its range, in both systems,
// and the car has it then.
func TestEverySliderTurns(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"stock-ten-inch", "big-cam-tandem", "big-cam-reservoir", "bench-ten-inch", "mountain", "leaky-shell"} {
		s := starterScenario(t, name)
		c := newClient(t, s)
		path, _ := c.create("{}")
		for _, k := range controls {
			for _, in := range []span{k.us, k.si} {
				for _, v := range []float64{in.Min, in.Max} {
					value := strings.TrimSpace(fmt.Sprintf("%g %s", v, in.Unit))
					c.post(path+"/open", "{}", http.StatusOK, nil)
					w := c.do(newRequest(http.MethodPost, path+"/change", body(t, changeRequest{Control: k.id, Value: value})))
					if k.id == "vacuum" && name == "mountain" && v == in.Min {
						// Of so little vacuum at home nothing is left up there.
						assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
						continue
					}
					require.Equal(t, http.StatusOK, w.Code, "%s: %s = %s: %s", name, k.id, value, w.Body)
					var car carSeen
					require.NoError(t, json.Unmarshal(w.Body.Bytes(), &car))
					assert.InEpsilon(t, 1+v*in.Scale, 1+car.control(k.id), 1e-9, "%s: %s = %s", name, k.id, value)
				}
			}
		}
	}
}

func TestAltitudeKeepsTheReadingAtHome(t *testing.T) {
	t.Parallel()
	c := newClient(t, starterScenario(t, "stock-ten-inch"))
	path, home := c.create("{}")
	var up carSeen
	c.post(path+"/change", `{"control":"altitude","value":"2000 m"}`, http.StatusOK, &up)
	assert.InDelta(t, 79495, up.Shape["ambient_pa"], 20, "ISA at 2000 m")
	// The manifold keeps its absolute pressure: as much vacuum is lost as air pressure.
	lost := home.Frame.number("front_vacuum_pa") - up.Frame.number("front_vacuum_pa")
	assert.InDelta(t, 101325-79495, lost, 600)
	// Twice up is as high as once.
	var again carSeen
	c.post(path+"/change", `{"control":"altitude","value":"0 m"}`, http.StatusOK, nil)
	c.post(path+"/change", `{"control":"altitude","value":"2000 m"}`, http.StatusOK, &again)
	assert.InDelta(t, up.Frame.number("front_vacuum_pa"), again.Frame.number("front_vacuum_pa"), 20)
}

func TestKindsOfBooster(t *testing.T) {
	t.Parallel()
	c := newClient(t, starterScenario(t, "stock-ten-inch"))
	path, single := c.create("{}")
	var car carSeen
	c.post(path+"/change", `{"control":"kind","value":"tandem"}`, http.StatusOK, &car)
	assert.Equal(t, "tandem", car.Kind)
	assert.Greater(t, car.Shape["area_m2"], 1.9*single.Shape["area_m2"].(float64))
	c.post(path+"/change", `{"control":"diameter","value":"8 in"}`, http.StatusOK, &car)
	assert.Equal(t, "tandem", car.Kind)
	assert.InDelta(t, 8*si.Inch, car.control("diameter"), 1e-9)
	c.post(path+"/change", `{"control":"kind","value":"none"}`, http.StatusOK, &car)
	assert.Equal(t, "none", car.Kind)
	assert.Nil(t, car.Frame["hub_m"])
	c.post(path+"/change", `{"control":"kind","value":"single"}`, http.StatusOK, &car)
	assert.Equal(t, "single", car.Kind)
	assert.NotNil(t, car.Frame["hub_m"])
	assert.InDelta(t, 8*si.Inch, car.control("diameter"), 1e-9, "it is the one that was there before")
	c.post(path+"/open", `{"starter":"manual-pedal"}`, http.StatusOK, &car)
	c.post(path+"/change", `{"control":"kind","value":"single"}`, http.StatusOK, &car)
	assert.InDelta(t, 10*si.Inch, car.control("diameter"), 1e-9, "of a car that had none, the usual one")
	c.post(path+"/change", `{"control":"kind","value":"triple"}`, http.StatusBadRequest, nil)
	c.post(path+"/change", `{"control":"circuits","value":"single"}`, http.StatusOK, &car)
	assert.Equal(t, false, car.Shape["dual"])
	c.post(path+"/change", `{"control":"circuits","value":"three"}`, http.StatusUnprocessableEntity, nil)
}

// Every fault can be chosen, and its slider comes back where it was put.
func TestEveryFaultTurns(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	path, _ := c.create("{}")
	for _, name := range sim.FaultNames() {
		for _, share := range []float64{0.05, 0.5, 1} {
			var car carSeen
			c.post(path+"/change", fmt.Sprintf(`{"control":"fault","value":%q,"share":%g}`, name, share), http.StatusOK, &car)
			require.NotNil(t, car.Fault)
			assert.Equal(t, name, car.Fault.Name)
			assert.InDelta(t, share, car.Fault.Share, 0.01, "%s", name)
			assert.NotEmpty(t, car.Faults)
		}
	}
	var car carSeen
	c.post(path+"/change", `{"control":"fault","value":"none"}`, http.StatusOK, &car)
	assert.Nil(t, car.Fault)
	c.post(path+"/change", `{"control":"fault","value":"gremlins"}`, http.StatusUnprocessableEntity, nil)
	c.post(path+"/change", `{"control":"fault","value":"hose-leak","share":2}`, http.StatusBadRequest, nil)
}

// What is wrong is said in the decoder's words, and the car stays as it was.
func TestWrongChangeIsSaid(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	path, before := c.create("{}")
	var no refusal
	c.post(path+"/change", `{"control":"vacuum","value":"40 inHg"}`, http.StatusUnprocessableEntity, &no)
	require.NotEmpty(t, no.Problems)
	assert.Contains(t, no.Problems[0], "source.vacuum: read")
	c.post(path+"/change", `{"control":"vacuum","value":"lots"}`, http.StatusUnprocessableEntity, &no)
	c.post(path+"/change", `{"control":"title","value":"x"}`, http.StatusBadRequest, nil)
	var f frameSeen
	c.post(path+"/reset", "{}", http.StatusOK, &f)
	assert.Equal(t, before.Frame["front_vacuum_pa"], f["front_vacuum_pa"])
}

func TestOpenedScenarioGoesThroughTheDecoder(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	path, _ := c.create("{}")
	var no refusal
	text := "title = \"x\"\n[booster]\ndiametre = \"9 in\"\n"
	c.post(path+"/open", body(t, openRequest{Name: "mine.toml", Text: text}), http.StatusUnprocessableEntity, &no)
	assert.Contains(t, strings.Join(no.Problems, "\n"), "mine.toml:3: booster.diametre: read an unknown key")
	c.post(path+"/open", body(t, openRequest{Name: "mine.toml"}), http.StatusUnprocessableEntity, &no)
	assert.Contains(t, no.Problems[0], "an empty document")
	c.post(path+"/open", `{"starter":"no-such"}`, http.StatusBadRequest, nil)
	c.post(path+"/open", `{"starter":"../embed.go"}`, http.StatusBadRequest, nil)
	c.post(path+"/open", `{"starter":"mountain","text":"x"}`, http.StatusBadRequest, nil)

	for _, name := range scenarios.Names() {
		var car carSeen
		c.post(path+"/open", body(t, openRequest{Starter: name}), http.StatusOK, &car)
		assert.Equal(t, name+".toml", car.Name)
		assert.NotEmpty(t, car.Title)
	}
}

// A saved scenario, opened again, is the same car.
func TestSavedScenarioOpensAgain(t *testing.T) {
	t.Parallel()
	c := newClient(t, starterScenario(t, "big-cam-reservoir"))
	path, _ := c.create("{}")
	c.post(path+"/change", `{"control":"vacuum","value":"12.5 inHg"}`, http.StatusOK, nil)
	c.post(path+"/change", `{"control":"fault","value":"hose-leak","share":0.3}`, http.StatusOK, nil)
	w := c.do(newRequest(http.MethodGet, path+"/file", ""))
	require.Equal(t, http.StatusOK, w.Code)
	assert.Equal(t, `attachment; filename="big-cam-reservoir.toml"`, w.Header().Get("Content-Disposition"))
	assert.Contains(t, w.Body.String(), `vacuum = "12.5 inHg"`)
	saved, err := scenario.Read(strings.NewReader(w.Body.String()), "saved.toml")
	require.NoError(t, err)

	d, ok := c.drives.get(strings.TrimPrefix(path, "/api/drives/"))
	require.True(t, ok)
	assert.Equal(t, d.scenario.Hash(), saved.Hash())
}

func TestNamesOfFiles(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"car.toml": "car.toml", "/home/x/my car.toml": "my-car.toml", `C:\cars\a.toml`: "a.toml", "built-in": "built-in.toml",
		"": "scenario.toml", "..": "scenario.toml", "a\"\r\nX: y.toml": "a-X-y.toml", "stdin": "stdin.toml",
	} {
		assert.Equal(t, want, fileName(name), name)
	}
}

// All that the page can send is a control, and every control says where it stands.
func TestSetupListsWhatThereIs(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	var got setup
	c.get("/api/setup", http.StatusOK, &got)
	assert.Len(t, got.Faults, len(sim.FaultNames()))
	assert.Len(t, got.Starters, len(scenarios.Names()))
	for _, one := range got.Starters {
		assert.Equal(t, starterScenario(t, one.Name).Title, one.Title)
	}
	assert.NotEmpty(t, got.Caution)
	assert.Equal(t, "inHg", got.Units["us"]["vacuum"].Name)
	assert.Equal(t, "MPa", got.Units["si"]["pressure"].Name)
}
