package ccitt

// plain decodes a one-dimensional row (T.4, 4.1) into line and returns the
// index behind it. A row ends with the code that reaches its width.
func (r *rows) plain() (k int, err error) {
	k = r.cur + 1
	for a0 := int32(0); a0 < r.width; {
		colour := (k - r.cur) & 1
		p := pairs[colour][r.peek()>>(64-pairBits)]
		if a1 := a0 + p.first(); p != 0 && a1 < r.width && a1+p.second() <= r.width {
			r.skip(p.bits())
			a0 = a1 + p.second()
			k = put(r.line, put(r.line, k, a1), a0)
			continue
		}
		run, err := r.run(&runTables[colour])
		if err != nil {
			return k, err
		}
		if run > r.width-a0 {
			return k, ErrRow
		}
		a0 += run
		k = put(r.line, k, a0)
	}
	return k, nil
}

// both decodes two runs, the first white if colour is 1. At least pairBits bits
// must be left of those peeked at.
func (r *rows) both(colour int) (first, second int32, err error) {
	if p := pairs[colour][r.acc>>(64-pairBits)]; p != 0 {
		r.skip(p.bits())
		return p.first(), p.second(), nil
	}
	if first, err = r.run(&runTables[colour]); err != nil {
		return 0, 0, err
	}
	second, err = r.run(&runTables[1-colour])
	return first, second, err
}

// run decodes one run: any number of make-up codes and a terminating code.
func (r *rows) run(codes *runTable) (int32, error) {
	var length int32
	for {
		code := codes[r.peek()>>(64-runBits)]
		if code == 0 {
			return 0, ErrCode
		}
		r.skip(int(code & codeLength))
		part := int32(code >> codeRunBits)
		if code&codeMakeUp != 0 {
			part *= 64
		}
		length += part
		if length > r.width {
			return 0, ErrRow
		}
		if code&codeMakeUp == 0 {
			return length, nil
		}
	}
}
