package page

import "sync"

// A recent keeps the last few things that were made, by what they were made of. It is
// safe for use by many at once.
type recent[V any] struct {
	most int
	mu   sync.Mutex
	kept []made[V] // the newest last
}

type made[V any] struct {
	of string
	v  V
}

// get is what was made of something, or what make makes of it now.
func (r *recent[V]) get(of string, make func() (V, error)) (V, error) {
	if v, found := r.find(of); found {
		return v, nil
	}
	v, err := make()
	if err != nil {
		return v, err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.kept) == r.most {
		r.kept = append(r.kept[:0], r.kept[1:]...)
	}
	r.kept = append(r.kept, made[V]{of, v})
	return v, nil
}

// find finds what is kept, which is then the newest.
func (r *recent[V]) find(of string) (v V, found bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for i, m := range r.kept {
		if m.of == of {
			r.kept = append(append(r.kept[:i], r.kept[i+1:]...), m)
			return m.v, true
		}
	}
	return v, false
}
