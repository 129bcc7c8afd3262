package content

import "math/big"

// unitMM is a unit of distance in ten-thousandths of a millimetre, so that thousandths of it are exact.
var unitMM = map[string]int64{"m": 1000_0000, "km": 1_000_000_0000, "mi": 1_609_344_0000, "yd": 914_4000}

// distanceAmount makes a distance of thousandths of a unit, to the nearest millimetre, halves to even.
func distanceAmount(unit string, low, high int64) Amount {
	return Amount{Kind: AmountDistance, Low: millimetres(low, unit), High: millimetres(high, unit), Unit: unit}
}

func millimetres(thousandths int64, unit string) int64 {
	return halfEven(new(big.Int).Mul(big.NewInt(thousandths), big.NewInt(unitMM[unit])), 1000*10_000)
}

// halfEven divides and rounds to the nearest whole number, halves to even.
func halfEven(num *big.Int, den int64) int64 {
	q, r := new(big.Int).QuoRem(num, big.NewInt(den), new(big.Int))
	twice := r.Int64() * 2
	if v := q.Int64(); twice > den || twice == den && v%2 == 1 {
		return v + 1
	}
	return q.Int64()
}

// keepsItsText reports whether writing the distance gives back the thousandths that were read.
func (a Amount) keepsItsText(low, high int64) bool {
	return thousandthsOf(a.Low, a.Unit) == low && thousandthsOf(a.High, a.Unit) == high
}

// thousandthsOf returns the thousandths of a unit nearest to a distance in millimetres; of a yard, which has fewer
// than a thousand millimetres, the hundredths.
func thousandthsOf(mm int64, unit string) int64 {
	per, ok := unitMM[unit]
	if !ok {
		per = unitMM["m"]
	}
	step := int64(1)
	if unit == "yd" {
		step = 10
	}
	n := new(big.Int).Mul(big.NewInt(mm), big.NewInt(1000/step*10_000))
	return step * halfEven(n, per)
}

// A pound is 0.45359237 kg exactly: 45,359,237 hundred-thousandths of a gram.
const poundParts, partsPerGram = 45_359_237, 100_000

// grams turns thousandths of a unit into grams, halves to even.
func grams(thousandths int64, unit string) int64 {
	if unit == "kg" {
		return thousandths
	}
	return halfEven(new(big.Int).Mul(big.NewInt(thousandths), big.NewInt(poundParts)), 1000*partsPerGram)
}

// loadThousandths returns the thousandths of its unit that a load is written with: a pound to its hundredth, since
// grams are no finer.
func loadThousandths(l Load) int64 {
	if l.Unit != "lb" {
		return l.Grams
	}
	return 10 * halfEven(new(big.Int).Mul(big.NewInt(l.Grams), big.NewInt(100*partsPerGram)), poundParts)
}
