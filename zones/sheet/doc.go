// Package sheet draws the key sheet that hangs at the press: a page an ink,
// with the form over the fountain, the blade as its keys bend it, and a box
// under each key for what was finally run. What stands where is decided once,
// in a Page, which both PDF and SVG are drawn from. It works out no key and
// reads no file.
package sheet
