// Package verdict holds every yardstick that a judgment rests on: what locks this
// car's wheels, what a foot can do, what stroke the master cylinder has, what counts
// as a stop, as easy, as back. Studies measure; they ask here what it means, so that
// no two of them judge one car differently.
//
// Each yardstick says where it is from. What has no source is "common practice, no
// source" or an estimate, and the words that judge say so.
package verdict
