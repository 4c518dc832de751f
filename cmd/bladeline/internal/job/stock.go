package job

import "regexp"

// IsPageSize tells whether what is given for a stock is what a size of paper is
// called, after ISO 216 and in America.
func IsPageSize(stock string) bool { return sizePattern.MatchString(stock) }

var sizePattern = regexp.MustCompile(`(?i)^(a\d+|b\d+|letter|legal|tabloid)$`)
