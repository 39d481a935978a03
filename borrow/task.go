package borrow

import "github.com/paulmach/orb"

// task is a piece of plan that may be dug, under one plane of ground.
type task struct {
	cell   cell
	ground affine
	strata *patch // nil without strata
	water  *patch // nil where no hole shows water
	far    bool   // farther than Pit.Near from every hole
}

// tasks is a list of tasks that grows a run at a time, so that nothing is copied: a
// dense survey gives millions. It owns their cells.
type tasks struct {
	runs    [][]task
	corners corners
}

// taskRun sets memory and time alone.
const taskRun = 1 << 12

// add keeps a task with a copy of its cell.
func (l *tasks) add(t task) {
	t.cell = l.corners.keep(t.cell)
	end := len(l.runs) - 1
	if end < 0 || len(l.runs[end]) == taskRun {
		l.runs = append(l.runs, make([]task, 0, taskRun))
		end++
	}
	l.runs[end] = append(l.runs[end], t)
}

// at is the task of a number, counted from 0.
func (l *tasks) at(i int32) *task { return &l.runs[i/taskRun][i%taskRun] }

// count is how many there are.
func (l *tasks) count() int {
	if len(l.runs) == 0 {
		return 0
	}
	return (len(l.runs)-1)*taskRun + len(l.runs[len(l.runs)-1])
}

// each visits the tasks in the order in which they were added.
func (l *tasks) each(use func(i int32, t *task)) {
	for k, run := range l.runs {
		for i := range run {
			use(int32(k*taskRun+i), &run[i])
		}
	}
}

// corners keeps corners of cells in long runs.
type corners struct{ run []orb.Point }

// cornerRun sets memory and time alone.
const cornerRun = 1 << 14

// keep copies a cell.
func (k *corners) keep(c cell) cell {
	if len(k.run)+len(c) > cap(k.run) {
		k.run = make([]orb.Point, 0, max(cornerRun, len(c)))
	}
	first := len(k.run)
	k.run = append(k.run, c...)
	return cell(k.run[first:len(k.run):len(k.run)])
}
