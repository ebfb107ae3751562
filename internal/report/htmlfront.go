//go:build !js

package report

import "kneepoint/sim/si"

// A frontView is the first page as the template sees it.
type frontView struct {
	*Front
	Stops, Worth []tableView
}

func newFrontView(f *Front, units si.System) (*frontView, error) {
	if f == nil {
		return nil, nil
	}
	v := &frontView{Front: f}
	var err error
	if v.Stops, err = tableViews(f.Stops, units, "front-stops"); err != nil {
		return nil, err
	}
	v.Worth, err = tableViews(f.Worth, units, "front-worth")
	return v, err
}
