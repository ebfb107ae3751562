// Package web is the page on the loopback address: a car to drive in the
// browser, stepped live by the model itself. The page draws what a frame says
// and computes no physics.
package web
