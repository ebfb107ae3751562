package verdict

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCountsBetween(t *testing.T) {
	for _, c := range []struct {
		low, high Count
		want      string
	}{
		{Count{2, 4, 10}, Count{2, 4, 10}, "2 stops are easy, and 4 at most heavy"},
		{Count{1, 3, 10}, Count{2, 5, 10}, "1 to 2 stops are easy, and 3 to 5 at most heavy"},
		{Count{2, 5, 10}, Count{1, 3, 10}, "1 to 2 stops are easy, and 3 to 5 at most heavy"},
		{Count{1, 3, 10}, Count{1, 5, 10}, "one stop is easy, and 3 to 5 at most heavy"},
		{Count{0, 3, 10}, Count{2, 3, 10}, "0 to 2 stops are easy, and 3 at most heavy"},
		{Count{2, 2, 10}, Count{4, 4, 10}, "2 to 4 stops are easy, and the next is already beyond many drivers"},
		{Count{2, 6, 10}, Count{4, 10, 10}, "2 to 4 stops are easy, and 6 to at least 10 at most heavy"},
		{Count{2, 10, 10}, Count{4, 10, 10}, "2 to 4 stops are easy, and at least 10 at most heavy"},
		{Count{8, 10, 10}, Count{10, 10, 10}, "8 to at least 10 stops are easy, and at least 10 at most heavy"},
	} {
		assert.Equal(t, c.want, Between(c.low, c.high), "%v, %v", c.low, c.high)
	}
}
