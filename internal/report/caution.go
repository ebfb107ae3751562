package report

// Caution ends every text that could guide work on a car.
const Caution = "Caution: estimates for planning, not a safety approval. Local codes and " +
	"licensed practice come first; test the finished car safely before it meets traffic."
