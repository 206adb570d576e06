"""Named checks that the safety rules ask: sums, ranges and gaps, each with its source."""
