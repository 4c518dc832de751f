package tiff

// Tags, by their names in TIFF 6.0 (June 1992); section 8 lists the baseline
// ones, sections 11 to 17 the extensions.
const (
	tagNewSubfileType  = 254
	tagImageWidth      = 256
	tagImageLength     = 257
	tagBitsPerSample   = 258
	tagCompression     = 259
	tagPhotometric     = 262 // PhotometricInterpretation
	tagFillOrder       = 266
	tagStripOffsets    = 273
	tagOrientation     = 274
	tagSamplesPerPixel = 277
	tagRowsPerStrip    = 278
	tagStripByteCounts = 279
	tagXResolution     = 282
	tagYResolution     = 283
	tagPlanarConfig    = 284 // PlanarConfiguration
	tagPageName        = 285
	tagT4Options       = 292
	tagResolutionUnit  = 296
	tagPredictor       = 317
	tagColorMap        = 320
	tagTileWidth       = 322
	tagTileLength      = 323
	tagTileOffsets     = 324
	tagTileByteCounts  = 325
	tagInkSet          = 332
	tagInkNames        = 333
	tagExtraSamples    = 338
	tagSampleFormat    = 339
	tagJPEGTables      = 347
)

// Values of Compression. 32946 is the number Deflate had before it was
// registered; the data are the same.
const (
	compressionNone       = 1
	compressionHuffman    = 2
	compressionGroup3     = 3
	compressionGroup4     = 4
	compressionLZW        = 5
	compressionOldJPEG    = 6
	compressionJPEG       = 7
	compressionDeflate    = 8
	compressionPackBits   = 32773
	compressionOldDeflate = 32946
)

// Values of PhotometricInterpretation.
const (
	whiteIsZero = 0
	blackIsZero = 1
	rgb         = 2
	palette     = 3
	mask        = 4
	separated   = 5
	yCbCr       = 6
	cieLab      = 8
	iccLab      = 9
	ituLab      = 10
)

var compressionNames = map[int64]string{
	compressionNone:       "no compression",
	compressionHuffman:    "CCITT modified Huffman",
	compressionGroup3:     "CCITT Group 3",
	compressionGroup4:     "CCITT Group 4",
	compressionLZW:        "LZW",
	compressionOldJPEG:    "old-style JPEG",
	compressionJPEG:       "JPEG",
	compressionDeflate:    "Deflate",
	compressionPackBits:   "PackBits",
	compressionOldDeflate: "Deflate",
}

// Values of ExtraSamples; 0 says nothing of what the sample means.
const (
	extraUnspecified   = 0
	extraPremultiplied = 1 // associated alpha
	extraStraight      = 2 // unassociated alpha
)

// Values of ResolutionUnit.
const (
	unitNone       = 1
	unitInch       = 2
	unitCentimetre = 3
)

// subfileReduced marks a reduced copy of another page, subfileMask a mask; in
// NewSubfileType.
const (
	subfileReduced = 1 << 0
	subfileMask    = 1 << 2
)
