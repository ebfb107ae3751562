package verdict

import "fmt"

// Between is the count in words of a car of which something is not known that decides
// it: "1 to 2 stops are easy, and 3 to 5 at most heavy". Where both ends are the same
// it is that count.
func Between(low, high Count) string {
	if low.Easy > high.Easy || low.Heavy > high.Heavy {
		low, high = Count{min(low.Easy, high.Easy), min(low.Heavy, high.Heavy), low.Made}, Count{max(low.Easy, high.Easy), max(low.Heavy, high.Heavy), high.Made}
	}
	switch {
	case low == high:
		return low.String()
	case high.Heavy == 0 || low.Heavy == low.Easy && high.Heavy == high.Easy:
		return between(low.Easy, high.Easy, high.Made) + " easy, and the next is already beyond many drivers"
	case low.Heavy == low.Made && high.Heavy == high.Made:
		return fmt.Sprintf("%s easy, and at least %d at most heavy", between(low.Easy, high.Easy, high.Made), high.Heavy)
	case low.Heavy == high.Heavy:
		return fmt.Sprintf("%s easy, and %d at most heavy", between(low.Easy, high.Easy, high.Made), high.Heavy)
	case high.Heavy == high.Made:
		return fmt.Sprintf("%s easy, and %d to at least %d at most heavy", between(low.Easy, high.Easy, high.Made), low.Heavy, high.Heavy)
	}
	return fmt.Sprintf("%s easy, and %d to %d at most heavy", between(low.Easy, high.Easy, high.Made), low.Heavy, high.Heavy)
}

func between(low, high, made int) string {
	switch {
	case low == high:
		return stopsAre(low)
	case high == made:
		return fmt.Sprintf("%d to at least %d stops are", low, high)
	}
	return fmt.Sprintf("%d to %d stops are", low, high)
}
