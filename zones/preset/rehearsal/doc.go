// Package rehearsal rehearses a preset on its press's roller train: which film
// every zone will carry, where along the sheet it changes, how many sheets it takes
// until it stands, what no key will cure, and what it would be with another sweep,
// form or train. Films and sheets are worked out by curves/rollers; here they are
// put to zones by number, densities, grams and sentences.
package rehearsal
