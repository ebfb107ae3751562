package scenario_test

import "reflect"

// number returns the value of any quantity.
func number(v any) float64 { return reflect.ValueOf(v).Float() }
