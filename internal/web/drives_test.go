package web

import (
	"net/http"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func (d *drives) count() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	return len(d.open)
}

func TestDrivesAreBoundedAndExpire(t *testing.T) {
	t.Parallel()
	now := time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)
	d := newDrives()
	d.now = func() time.Time { return now }
	var ids []string
	for range mostDrives {
		id, err := d.add(&drive{})
		require.NoError(t, err)
		ids = append(ids, id)
	}
	_, err := d.add(&drive{})
	require.ErrorIs(t, err, errFull)
	assert.True(t, d.full())

	// One that is asked for lives on; all others go.
	now = now.Add(idleDrive / 2)
	_, ok := d.get(ids[7])
	require.True(t, ok)
	now = now.Add(idleDrive/2 + time.Second)
	_, ok = d.get(ids[8])
	assert.False(t, ok, "an idle one is gone even before it is swept")
	assert.False(t, d.full())
	assert.Equal(t, 1, d.count())
	_, ok = d.get(ids[7])
	assert.True(t, ok)

	_, err = d.add(&drive{})
	require.NoError(t, err)
	d.remove(ids[7])
	assert.Equal(t, 1, d.count())
}

func TestNamesOfDrivesDiffer(t *testing.T) {
	t.Parallel()
	d := newDrives()
	seen := map[string]bool{}
	for range mostDrives {
		id, err := d.add(&drive{})
		require.NoError(t, err)
		assert.GreaterOrEqual(t, len(id), 26, "128 bits of chance")
		assert.False(t, seen[id])
		seen[id] = true
	}
}

func TestServerRefusesOneTooMany(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	for range mostDrives {
		_, err := c.drives.add(&drive{})
		require.NoError(t, err)
	}
	var no refusal
	c.post("/api/drives", "{}", http.StatusServiceUnavailable, &no)
	assert.Contains(t, no.Error, "too many pages")
	assert.Equal(t, mostDrives, c.drives.count())
}

func TestClosedDriveIsGone(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	path, _ := c.create("{}")
	require.Equal(t, 1, c.drives.count())
	c.post(path+"/close", "{}", http.StatusOK, nil)
	assert.Equal(t, 0, c.drives.count())
	c.post(path+"/step", `{"dt_s":0.02,"pedal_n":0,"engine":"idle"}`, http.StatusNotFound, nil)
}

// Many pages step at once, and one page asks for many things at once.
func TestDrivesStepSideBySide(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	done := make(chan struct{})
	path, _ := c.create("{}")
	for i := range 8 {
		go func() {
			defer func() { done <- struct{}{} }()
			for k := range 20 {
				body := `{"dt_s":0.02,"pedal_n":` + strconv.Itoa(10*i+k) + `,"engine":"idle"}`
				w := c.do(newRequest(http.MethodPost, path+"/step", body))
				assert.Equal(t, http.StatusOK, w.Code)
				if k == 10 {
					w = c.do(newRequest(http.MethodPost, path+"/change", `{"control":"vacuum","value":"15 inHg"}`))
					assert.Equal(t, http.StatusOK, w.Code)
				}
			}
		}()
	}
	for range 8 {
		<-done
	}
}
