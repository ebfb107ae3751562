// Package ask asks what people know about their car, and answers from that on one page.
//
// One table holds the questions, as data: what is asked, what it is for, how it is
// measured, and the reader that turns an answer into keys of a scenario. Whoever asks, a
// terminal, a file of answers or a page, goes through [Questions] and hands the texts to
// [Answers]. What nobody knows becomes a range and stops nothing: the car takes the usual
// figure, and the page says which of the unknown figures is worth measuring first.
package ask
