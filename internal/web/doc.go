// Package web is the page on the loopback address. It is not finished: all else
// in it stands behind the build tag "unfinished".
package web
