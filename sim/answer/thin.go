package answer

// Thin keeps about n of the points of a curve, evenly: a picture has no room for more.
func Thin[T any](points []T, n int) []T {
	k := (len(points) + n - 1) / n
	if k <= 1 {
		return points
	}
	var out []T
	for i := 0; i < len(points); i += k {
		out = append(out, points[i])
	}
	return out
}
