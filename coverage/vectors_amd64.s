#include "textflag.h"

// ADD3 is a carry-save adder: it adds the bits of a and b to those of sum, and
// puts what is carried into carry. Y14 and Y15 are overwritten; carry may be a.
#define ADD3(sum, a, b, carry) \
	VPXOR a, sum, Y14    \
	VPAND a, sum, Y15    \
	VPAND b, Y14, carry  \
	VPXOR b, Y14, sum    \
	VPOR  Y15, carry, carry

// FOUR loads the rows at base and adds them to Y0 (ones) and Y1 (twos); what
// is carried stands in out (fours).
#define FOUR(base, out) \
	VMOVDQU (base), Y4         \
	VMOVDQU (base)(CX*1), Y5   \
	VMOVDQU (base)(CX*2), Y6   \
	VMOVDQU (base)(DX*1), Y7   \
	ADD3(Y0, Y4, Y5, Y8)       \
	ADD3(Y0, Y6, Y7, Y9)       \
	ADD3(Y1, Y8, Y9, out)

// CARRY adds Y4 to the plane at offset, and leaves in Y4 what is carried.
#define CARRY(offset) \
	VMOVDQU offset(DI), Y5  \
	VPXOR   Y4, Y5, Y6      \
	VPAND   Y4, Y5, Y4      \
	VMOVDQU Y6, offset(DI)

// func addPiece(p *planes, data *byte, stride int, ones *[16][4]uint64)
TEXT ·addPiece(SB), NOSPLIT, $0-32
	MOVQ p+0(FP), DI
	MOVQ data+8(FP), R8
	MOVQ stride+16(FP), CX
	LEAQ (CX)(CX*2), DX
	LEAQ (R8)(CX*4), R9
	LEAQ (R9)(CX*4), R10
	LEAQ (R10)(CX*4), R11
	MOVQ R8, SI
	MOVQ $8, AX

chunk:
	VMOVDQU (DI), Y0
	VMOVDQU 256(DI), Y1
	VMOVDQU 512(DI), Y2
	FOUR(R8, Y10)
	FOUR(R9, Y11)
	ADD3(Y2, Y10, Y11, Y12)
	FOUR(R10, Y10)
	FOUR(R11, Y11)
	ADD3(Y2, Y10, Y11, Y13)
	VMOVDQU 768(DI), Y3
	ADD3(Y3, Y12, Y13, Y4)
	VMOVDQU Y0, (DI)
	VMOVDQU Y1, 256(DI)
	VMOVDQU Y2, 512(DI)
	VMOVDQU Y3, 768(DI)
	CARRY(1024)
	CARRY(1280)
	CARRY(1536)
	VPXOR   1792(DI), Y4, Y4
	VMOVDQU Y4, 1792(DI)
	ADDQ    $32, DI
	ADDQ    $32, R8
	ADDQ    $32, R9
	ADDQ    $32, R10
	ADDQ    $32, R11
	DECQ    AX
	JNZ     chunk

	// The ones of each row: those of every half byte out of a table, added up
	// byte by byte, then in words.
	MOVQ        ones+24(FP), DI
	VMOVDQU     halfOnes<>(SB), Y0
	VMOVDQU     halfMask<>(SB), Y1
	VPXOR       Y2, Y2, Y2
	MOVQ        $16, AX

row:
	VPXOR Y3, Y3, Y3
	VPXOR Y4, Y4, Y4
#define ONES(offset) \
	VMOVDQU offset(SI), Y5  \
	VPSRLW  $4, Y5, Y6      \
	VPAND   Y1, Y5, Y5      \
	VPAND   Y1, Y6, Y6      \
	VPSHUFB Y5, Y0, Y5      \
	VPSHUFB Y6, Y0, Y6      \
	VPADDB  Y5, Y3, Y3      \
	VPADDB  Y6, Y4, Y4
	ONES(0)
	ONES(32)
	ONES(64)
	ONES(96)
	ONES(128)
	ONES(160)
	ONES(192)
	ONES(224)
	VPADDB  Y3, Y4, Y4
	VPSADBW Y2, Y4, Y4
	VPADDQ  (DI), Y4, Y4
	VMOVDQU Y4, (DI)
	ADDQ    $32, DI
	ADDQ    CX, SI
	DECQ    AX
	JNZ     row
	VZEROUPPER
	RET

DATA halfOnes<>+0(SB)/8, $0x0302020102010100
DATA halfOnes<>+8(SB)/8, $0x0403030203020201
DATA halfOnes<>+16(SB)/8, $0x0302020102010100
DATA halfOnes<>+24(SB)/8, $0x0403030203020201
GLOBL halfOnes<>(SB), RODATA|NOPTR, $32

DATA halfMask<>+0(SB)/8, $0x0f0f0f0f0f0f0f0f
DATA halfMask<>+8(SB)/8, $0x0f0f0f0f0f0f0f0f
DATA halfMask<>+16(SB)/8, $0x0f0f0f0f0f0f0f0f
DATA halfMask<>+24(SB)/8, $0x0f0f0f0f0f0f0f0f
GLOBL halfMask<>(SB), RODATA|NOPTR, $32

DATA evenMask<>+0(SB)/8, $0x00ff00ff00ff00ff
DATA evenMask<>+8(SB)/8, $0x00ff00ff00ff00ff
DATA evenMask<>+16(SB)/8, $0x00ff00ff00ff00ff
DATA evenMask<>+24(SB)/8, $0x00ff00ff00ff00ff
GLOBL evenMask<>(SB), RODATA|NOPTR, $32

// ROW adds the bytes of a row, the even ones to even and Y8, the odd ones to
// odd and Y9.
#define ROW(row, even, odd) \
	VMOVDQU (row)(AX*1), Y10  \
	VPSRLW  $8, Y10, Y11      \
	VPAND   Y12, Y10, Y10     \
	VPADDW  Y11, odd, odd     \
	VPADDW  Y10, even, even   \
	VPADDW  Y11, Y9, Y9       \
	VPADDW  Y10, Y8, Y8

// WIDEN adds the two halves of sixteen fields to eight sums of 32 bits.
#define WIDEN(fields, low, offset) \
	VEXTRACTI128 $1, fields, X8   \
	VPMOVZXWD    X8, Y8           \
	VPMOVZXWD    low, Y9          \
	VPADDD       Y8, Y9, Y9       \
	VPADDD       offset(CX), Y9, Y9 \
	VMOVDQU      Y9, offset(CX)

// func addGroup(p *bytePiece, r0, r1, r2, r3 *pieceRow, sums *[4][2][8]uint32)
TEXT ·addGroup(SB), NOSPLIT, $0-48
	MOVQ    p+0(FP), DI
	MOVQ    r0+8(FP), R8
	MOVQ    r1+16(FP), R9
	MOVQ    r2+24(FP), R10
	MOVQ    r3+32(FP), R11
	VMOVDQU evenMask<>(SB), Y12
	MOVQ    sums+40(FP), CX
	VPXOR   Y0, Y0, Y0
	VPXOR   Y1, Y1, Y1
	VPXOR   Y2, Y2, Y2
	VPXOR   Y3, Y3, Y3
	VPXOR   Y4, Y4, Y4
	VPXOR   Y5, Y5, Y5
	VPXOR   Y6, Y6, Y6
	VPXOR   Y7, Y7, Y7
	XORQ    AX, AX

words:
	VMOVDQU (DI)(AX*1), Y8
	VMOVDQU 1024(DI)(AX*1), Y9
	ROW(R8, Y0, Y1)
	ROW(R9, Y2, Y3)
	ROW(R10, Y4, Y5)
	ROW(R11, Y6, Y7)
	VMOVDQU Y8, (DI)(AX*1)
	VMOVDQU Y9, 1024(DI)(AX*1)
	ADDQ    $32, AX
	CMPQ    AX, $1024
	JNE     words

	WIDEN(Y0, X0, 0)
	WIDEN(Y1, X1, 32)
	WIDEN(Y2, X2, 64)
	WIDEN(Y3, X3, 96)
	WIDEN(Y4, X4, 128)
	WIDEN(Y5, X5, 160)
	WIDEN(Y6, X6, 192)
	WIDEN(Y7, X7, 224)
	VZEROUPPER
	RET

// SPREAD adds to the eight lanes of the word at offset of AX words: those of the
// even and of the odd field by turns, each in 32 bits.
#define SPREAD(offset) \
	VMOVQ      offset(SI)(AX*1), X0      \
	VMOVQ      1024+offset(SI)(AX*1), X1 \
	VPUNPCKLWD X1, X0, X2                \
	VPMOVZXWD  X2, Y3                    \
	VPADDD     4*offset(DI)(AX*4), Y3, Y3 \
	VMOVDQU    Y3, 4*offset(DI)(AX*4)

// func spread(lanes *[1024]uint32, p *bytePiece)
TEXT ·spread(SB), NOSPLIT, $0-16
	MOVQ lanes+0(FP), DI
	MOVQ p+8(FP), SI
	XORQ AX, AX
	VPXOR Y4, Y4, Y4

lanes:
	SPREAD(0)
	SPREAD(8)
	SPREAD(16)
	SPREAD(24)
	VMOVDQU Y4, (SI)(AX*1)
	VMOVDQU Y4, 1024(SI)(AX*1)
	ADDQ $32, AX
	CMPQ AX, $1024
	JNE  lanes
	VZEROUPPER
	RET

// EDGES adds the two runs at offset of SI to the steps at DI, and their lengths
// to AX.
#define EDGES(offset) \
	MOVLQSX offset(SI), R8     \
	MOVLQSX offset+4(SI), R9   \
	MOVLQSX offset+8(SI), R10  \
	MOVLQSX offset+12(SI), R11 \
	ADDW    $1, (DI)(R8*2)     \
	ADDW    $-1, (DI)(R9*2)    \
	ADDW    $1, (DI)(R10*2)    \
	ADDW    $-1, (DI)(R11*2)   \
	SUBQ    R8, R9             \
	SUBQ    R10, R11           \
	ADDQ    R9, AX             \
	ADDQ    R11, AX

// func addEnds(steps *uint16, ends *int32, n int) (ink uint64)
TEXT ·addEnds(SB), NOSPLIT, $0-32
	MOVQ steps+0(FP), DI
	MOVQ ends+8(FP), SI
	MOVQ n+16(FP), CX
	XORQ AX, AX

runs:
	SUBQ $8, CX
	JLT  rest
	EDGES(0)
	EDGES(16)
	ADDQ $32, SI
	JMP  runs

rest:
	ADDQ $8, CX
	JZ   added

run:
	MOVLQSX (SI), R8
	MOVLQSX 4(SI), R9
	ADDW $1, (DI)(R8*2)
	ADDW $-1, (DI)(R9*2)
	SUBQ R8, R9
	ADDQ R9, AX
	ADDQ $8, SI
	SUBQ $2, CX
	JNZ  run

added:
	MOVQ AX, ink+24(FP)
	RET

// The last word of each half.
DATA lastWord<>+0(SB)/8, $0x0f0e0f0e0f0e0f0e
DATA lastWord<>+8(SB)/8, $0x0f0e0f0e0f0e0f0e
DATA lastWord<>+16(SB)/8, $0x0f0e0f0e0f0e0f0e
DATA lastWord<>+24(SB)/8, $0x0f0e0f0e0f0e0f0e
GLOBL lastWord<>(SB), RODATA|NOPTR, $32

// func addSteps(steps *uint16, n int, covered uint16) (sum uint32, last uint16)
TEXT ·addSteps(SB), NOSPLIT, $0-30
	MOVQ         steps+0(FP), SI
	MOVQ         n+8(FP), CX
	MOVWLZX      covered+16(FP), AX
	VMOVD        AX, X0
	VPBROADCASTW X0, Y0             // how often the column before had ink
	VPXOR        Y6, Y6, Y6         // the sums
	VPXOR        Y7, Y7, Y7
	VMOVDQU      lastWord<>(SB), Y5

steps:
	// Sums of the steps from the first of each half on, then of the first half for
	// the second.
	VMOVDQU    (SI), Y1
	VPSLLDQ    $2, Y1, Y2
	VPADDW     Y2, Y1, Y1
	VPSLLDQ    $4, Y1, Y2
	VPADDW     Y2, Y1, Y1
	VPSLLDQ    $8, Y1, Y2
	VPADDW     Y2, Y1, Y1
	VPSHUFB    Y5, Y1, Y2
	VPERM2I128 $0x08, Y2, Y2, Y3
	VPADDW     Y3, Y1, Y1
	VPADDW     Y0, Y1, Y3
	VPSHUFB    Y5, Y1, Y2
	VPERM2I128 $0x11, Y2, Y2, Y2
	VPADDW     Y2, Y0, Y0

	VPUNPCKLWD Y7, Y3, Y1
	VPUNPCKHWD Y7, Y3, Y2
	VPADDD     Y1, Y6, Y6
	VPADDD     Y2, Y6, Y6
	ADDQ       $32, SI
	SUBQ       $16, CX
	JNZ        steps

	VEXTRACTI128 $1, Y6, X1
	VPADDD       X1, X6, X6
	VPSHUFD      $0x4e, X6, X1
	VPADDD       X1, X6, X6
	VPSHUFD      $0xb1, X6, X1
	VPADDD       X1, X6, X6
	VMOVD        X6, AX
	MOVL         AX, sum+24(FP)
	VMOVD        X0, AX
	MOVW         AX, last+28(FP)
	VZEROUPPER
	RET
