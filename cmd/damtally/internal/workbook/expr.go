package workbook

import (
	"math"
	"strconv"
	"strings"
)

// kind says what a value is.
type kind uint8

const (
	isBlank kind = iota // also the empty text that a formula gives for "not known"
	isNumber
	isText
	isTruth
)

// value is what a cell shows.
type value struct {
	num   float64
	text  string
	kind  kind
	truth bool
}

// expr is a formula and its value. A plain expr stands in a cell as a value, not
// as a formula: something measured, typed or drawn.
type expr struct {
	val   value
	write func(home *sheet) string // the formula as it reads on the sheet home
	prec  int8                     // how tightly the outermost operator binds, see the constants
	plain bool
}

// Binding of operators in a formula, weakest first.
const (
	precCompare int8 = iota + 1
	precJoin
	precAdd
	precMul
	precAtom
)

// number is a plain number; a NaN or an infinity is a blank.
func number(x float64) expr {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return blank()
	}
	return expr{val: value{kind: isNumber, num: x}, prec: precAtom, plain: true, write: func(*sheet) string {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}}
}

// text is a plain text. A formula may hold at most 255 characters in a text, so
// longer ones stand in cells of their own.
func text(s string) expr {
	if s == "" {
		return blank()
	}
	return expr{val: value{kind: isText, text: s}, prec: precAtom, plain: true, write: func(*sheet) string {
		return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}}
}

// blank is nothing, the empty text in a formula.
func blank() expr {
	return expr{prec: precAtom, plain: true, write: func(*sheet) string { return `""` }}
}

// binary joins two expressions with an operator; the right one is put in
// brackets when it binds no tighter.
func binary(a expr, op string, b expr, prec int8, val value) expr {
	// Only what writing needs is kept: a long dam has a million of these.
	write, next := a.write, b.write
	around, aroundNext := a.prec < prec, b.prec <= prec
	return expr{val: val, prec: prec, write: func(home *sheet) string {
		left, right := write(home), next(home)
		if around {
			left = "(" + left + ")"
		}
		if aroundNext {
			right = "(" + right + ")"
		}
		return left + op + right
	}}
}

// numeric is the number that arithmetic sees: a blank or a text is NaN, so that a
// formula that forgot to guard against it is found and not written.
func (e expr) numeric() float64 {
	if e.val.kind != isNumber {
		return math.NaN()
	}
	return e.val.num
}

func num(x float64) value { return value{kind: isNumber, num: x} }

func add(a, b expr) expr { return binary(a, "+", b, precAdd, num(a.numeric()+b.numeric())) }
func sub(a, b expr) expr { return binary(a, "-", b, precAdd, num(a.numeric()-b.numeric())) }
func mul(a, b expr) expr { return binary(a, "*", b, precMul, num(a.numeric()*b.numeric())) }
func div(a, b expr) expr { return binary(a, "/", b, precMul, num(a.numeric()/b.numeric())) }

// join puts two texts together.
func join(a, b expr) expr {
	return binary(a, "&", b, precJoin, textValue(a.val.text+b.val.text))
}

func textValue(s string) value {
	if s == "" {
		return value{}
	}
	return value{kind: isText, text: s}
}

func compare(a expr, op string, b expr, holds bool) expr {
	return binary(a, op, b, precCompare, value{kind: isTruth, truth: holds})
}

func less(a, b expr) expr    { return compare(a, "<", b, a.numeric() < b.numeric()) }
func atMost(a, b expr) expr  { return compare(a, "<=", b, a.numeric() <= b.numeric()) }
func atLeast(a, b expr) expr { return compare(a, ">=", b, a.numeric() >= b.numeric()) }
func more(a, b expr) expr    { return compare(a, ">", b, a.numeric() > b.numeric()) }
func same(a expr, s string) expr {
	return compare(a, "=", text(s), strings.EqualFold(a.val.text, s))
}

// call is a function of a spreadsheet with its arguments.
func call(name string, val value, args ...expr) expr {
	writes := make([]func(*sheet) string, len(args))
	for i, a := range args {
		writes[i] = a.write
	}
	return expr{val: val, prec: precAtom, write: func(home *sheet) string {
		parts := make([]string, len(writes))
		for i, write := range writes {
			parts[i] = write(home)
		}
		return name + "(" + strings.Join(parts, ",") + ")"
	}}
}

// when is IF: a where the condition holds, else b.
func when(cond, a, b expr) expr {
	val := b.val
	if cond.val.truth {
		val = a.val
	}
	return call("IF", val, cond, a, b)
}

// truth is TRUE or FALSE.
func truth(holds bool) expr {
	name := "FALSE"
	if holds {
		name = "TRUE"
	}
	return call(name, value{kind: isTruth, truth: holds})
}

// anyOf is OR.
func anyOf(conds ...expr) expr {
	holds := false
	for _, c := range conds {
		holds = holds || c.val.truth
	}
	return call("OR", value{kind: isTruth, truth: holds}, conds...)
}

// all is AND.
func all(conds ...expr) expr {
	holds := true
	for _, c := range conds {
		holds = holds && c.val.truth
	}
	return call("AND", value{kind: isTruth, truth: holds}, conds...)
}

// known says that all the cells hold numbers.
func known(cells ...expr) expr {
	n := 0
	for _, c := range cells {
		if c.val.kind == isNumber {
			n++
		}
	}
	count := call("COUNT", num(float64(n)), cells...)
	return compare(count, "=", number(float64(len(cells))), n == len(cells))
}

// ifKnown is e where all the cells that it needs hold numbers, else nothing.
func ifKnown(e expr, cells ...expr) expr { return when(known(cells...), e, blank()) }

func largest(a, b expr) expr {
	return call("MAX", num(math.Max(a.numeric(), b.numeric())), a, b)
}

func magnitude(a expr) expr { return call("ABS", num(math.Abs(a.numeric())), a) }

// rounded is ROUND to a number of decimals, halves away from zero. It serves
// comparisons that must not turn on the last bit of a sum.
func rounded(a expr, decimals int) expr {
	k := math.Pow(10, float64(decimals))
	return call("ROUND", num(math.Round(a.numeric()*k)/k), a, number(float64(decimals)))
}

// within says that two figures differ by no more than a share of the larger.
func within(a, b expr, share float64) expr {
	gap := magnitude(sub(a, b))
	return atMost(gap, mul(number(share), largest(magnitude(a), magnitude(b))))
}
