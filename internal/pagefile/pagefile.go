// Package pagefile holds the page with the whole program inside, in a build that has it:
// one with the tag withpage, for which "make page" has put the file here.
package pagefile
