#include "textflag.h"
#include "go_asm.h"

// What advanceByChunks keeps in registers:
//
//	AX   acc           BX   n, modulo 64
//	SI → the next byte of the buffer, DI → the last place to read eight from
//	R8 → b1            R9 → the next element of the row
//
// and, while it decodes chunks:
//
//	R10       → the steps of the colour, R11 + 4·R10 → its chunks
//	R12, R13  the masks of a step's elements given and elements to go on by
//	R15       64 - chunkBits
//	Y0 or Y7  a0 in lane 7
//
// and code by code:
//
//	R10  → codes
//	R11  → second
//	R12  how many bits the second of two takes
//	R14  a0
//
// and two runs by two:
//
//	R15  → the pairs of the colour
//
// and run by run:
//
//	R15, R13  → the runTables of the first and the second run, R13 less a table

// REFILL brings the bits in acc to 56 or more, as Bits.Fill.
#define REFILL(short) \
	CMPQ   SI, DI       \
	JGT    short        \
	MOVQ   (SI), DX     \
	BSWAPQ DX           \
	ANDL   $63, BX      \
	SHRXQ  BX, DX, DX   \
	ORQ    DX, AX       \
	MOVL   $63, CX      \
	SUBL   BX, CX       \
	SHRL   $3, CX       \
	ADDQ   CX, SI       \
	ORL    $56, BX

// CHUNK decodes one chunk, or goes to stop. a0 is in lane 7 of before, and then
// of after.
#define CHUNK(before, after, stop) \
	SHRXQ        R15, AX, CX                \
	MOVLQSX      (R10)(CX*4), DX            \
	LEAQ         (R10)(CX*4), CX            \
	VPMOVSXBD    (R11)(CX*4), Y1            \
	VPMOVZXBD    8(R11)(CX*4), Y2           \
	VPBLENDD     $0x7f, (R8), before, Y3    \
	VPBROADCASTD (R8), Y4                   \
	VPBLENDD     $0x7f, (R8), Y4, Y4        \
	VPBLENDD     $0x7f, -4(R8), before, Y5  \
	VPSUBD       Y5, Y4, Y4                 \
	VPERMD       Y3, Y2, Y3                 \
	VPSRLD       $3, Y2, Y2                 \
	VPCMPGTD     Y4, Y2, Y4                 \
	VPADDD       Y1, Y3, after              \
	VMOVMSKPS    Y4, CX                     \
	TESTL        CX, CX                     \
	JNZ          stop                       \
	TESTL        DX, DX                     \
	JZ           stop                       \
	VMOVDQU      after, (R9)                \
	SHLXQ        DX, AX, AX                 \
	SUBL         DX, BX                     \
	PEXTQ        R13, DX, CX                \
	LEAQ         (R8)(CX*4), R8             \
	PEXTQ        R12, DX, CX                \
	LEAQ         (R9)(CX*4), R9             \
	SARQ         $const_stepOther, DX       \
	ADDQ         DX, R10

// SINGLE decodes a vertical or a pass code, or goes to other. A pass code is a
// vertical one that starts from b2 and gives no element. b1 is then the element
// before or behind that or the third behind it, whichever is the first to lie
// right of a0; where none does it is left to next.
#define SINGLE(bits) \
	MOVQ    AX, CX                   \
	SHRQ    $(64-const_codeBits), CX \
	MOVBLZX (R10)(CX*4), DX          \
	TESTL   $const_codeKind, DX      \
	JNZ     other                    \
	MOVBLZX 2(R10)(CX*4), R13        \
	MOVBQSX 3(R10)(CX*4), R15        \
	MOVBLSX 1(R10)(CX*4), CX         \
	ADDL    (R8)(R13*1), CX          \
	CMPL    CX, R14                  \
	JLE     leave                    \
	CMPL    CX, 12(R8)               \
	JGE     leave                    \
	MOVL    CX, (R9)                 \
	MOVL    CX, R14                  \
	LEAQ    4(R9)(R15*1), R9         \
	SHLXQ   bits, AX, AX             \
	SUBL    bits, BX                 \
	LEAQ    12(R8)(R15*1), DX        \
	LEAQ    4(R8)(R15*1), R13        \
	LEAQ    -4(R8)(R15*1), R15       \
	CMPL    4(R8), CX                \
	CMOVQLE DX, R13                  \
	CMPL    -4(R8), CX               \
	CMOVQLE R13, R15                 \
	MOVQ    R15, R8

// PAIR decodes two. The bits of the second are looked up with those of the first,
// so that it is known where the next two begin before these are decoded.
#define PAIR \
	MOVQ    AX, CX                     \
	SHRQ    $(64-2*const_codeBits), CX \
	MOVBLZX (R11)(CX*1), R12           \
	SINGLE(DX)                         \
	SINGLE(R12)

// PAIRS leads R15 to the pairs of runs of the colour: CX is 0 or the size of a
// pairTable.
#define PAIRS \
	MOVQ R9, CX                  \
	SUBQ row-16(SP), CX          \
	ANDL $4, CX                  \
	SHLL $(const_pairBits-1), CX \
	LEAQ ·pairs(SB), R15         \
	ADDQ CX, R15

// RUN adds a run of one or two codes to R12, or goes to unfit. DX are the bits,
// BX how many are left.
#define RUN(code, terminating) \
	MOVQ    DX, CX                   \
	SHRQ    $(64-const_runBits), CX  \
	MOVWLZX code, R10                \
	TESTL   $const_codeMakeUp, R10   \
	JZ      terminating              \
	MOVL    R10, CX                  \
	ANDL    $const_codeLength, CX    \
	SHLXQ   CX, DX, DX               \
	SUBL    CX, BX                   \
	ANDL    $(-1<<const_codeRunBits), R10 \
	ADDL    R10, R12                 \
	MOVQ    DX, CX                   \
	SHRQ    $(64-const_runBits), CX  \
	MOVWLZX code, R10                \
	TESTL   $const_codeMakeUp, R10   \
	JNZ     unfit                    \
terminating:                         \
	MOVL    R10, CX                  \
	ANDL    $const_codeLength, CX    \
	JZ      unfit                    \
	SHLXQ   CX, DX, DX               \
	SUBL    CX, BX                   \
	SHRL    $const_codeRunBits, R10  \
	ADDL    R10, R12

// func advanceByChunks(r *rows, p *place, t *chunkTable)
TEXT ·advanceByChunks(SB), NOSPLIT, $24-24
	MOVQ r+0(FP), DI
	MOVQ p+8(FP), DX
	MOVQ t+16(FP), R11
	NEGQ R11
	LEAQ (R11)(R11*2), R11
	ADDQ $chunkTable_chunks, R11 // + 4·t → chunks
	MOVL rows_width(DI), CX
	MOVQ CX, width-8(SP)
	MOVQ rows_line(DI), CX
	MOVQ rows_cur(DI), R9
	LEAQ (CX)(R9*4), R9
	MOVQ R9, row-16(SP) // → the element before the row's first, which black follows
	MOVQ place_i(DX), R8
	MOVQ place_k(DX), R9
	LEAQ (CX)(R8*4), R8
	LEAQ (CX)(R9*4), R9
	XORL CX, CX
	MOVL place_a0(DX), R14
	TESTL R14, R14
	CMOVLMI CX, R14
	MOVQ rows_acc(DI), AX
	MOVQ rows_n(DI), BX
	MOVQ (rows_in+Bits_buf)(DI), SI
	MOVQ SI, CX
	ADDQ (rows_in+Bits_pos)(DI), SI
	ADDQ (rows_in+Bits_end)(DI), CX
	LEAQ -8(CX), DI

chunks:
	MOVQ R9, R10
	SUBQ row-16(SP), R10
	ANDL $4, R10
	SHLQ $const_chunkBits, R10
	ADDQ t+16(FP), R10
	MOVL $(7<<const_stepGiven), R12
	MOVL $(7<<const_stepSkip), R13
	MOVL $(64-const_chunkBits), R15
	VMOVD R14, X0
	VPBROADCASTD X0, Y0

nextChunks:
	REFILL(short)
	CHUNK(Y0, Y7, stop0)
	CHUNK(Y7, Y0, stop7)
	CHUNK(Y0, Y7, stop0)
	CHUNK(Y7, Y0, stop7)
	JMP nextChunks

stop7:
	VMOVDQA Y7, Y0

stop0:
	VEXTRACTI128 $1, Y0, X0
	VPEXTRD      $3, X0, R14
	LEAQ ·codes(SB), R10
	MOVQ r+0(FP), CX
	INCQ rows_stops(CX)
	CMPB rows_scattered(CX), $0
	JNE  scattered
	REFILL(leave)
	SINGLE(DX)
	SINGLE(DX)
	SINGLE(DX)
	JMP chunks

scattered:
	MOVQ t+16(FP), R11
	ADDQ $chunkTable_second, R11

pairs:
	REFILL(leave)
	PAIR
	PAIR
	PAIR
	PAIR
	JMP pairs

	// Horizontal codes mostly stand several in a row where the lines of a screen
	// begin. b1 is looked for behind the last one.
other:
	CMPL DX, $const_codeHorizontal
	JNE  leave
	REFILL(leave) // seven codes may have come before
	PAIRS

	// Two terminating codes, of runs that are not empty. The horizontal code is
	// looked up with them, as it is known.
horizontal:
	MOVQ    AX, CX
	SHRQ    $(64-const_horizontalBits-const_pairBits), CX
	MOVWLZX -(2<<const_pairBits)(R15)(CX*2), R10
	TESTL   R10, R10
	JZ      makeUps
	MOVL    R10, CX
	SHRL    $const_pairFirst, CX
	ANDL    $63, CX
	JZ      rare
	MOVL    R10, R12
	SHRL    $const_pairSecond, R12
	JZ      rare
	ANDL    $const_pairLength, R10
	ADDL    $const_horizontalBits, R10
	SHLXQ   R10, AX, DX
	ADDL    R14, CX
	ADDL    CX, R12
	CMPL    R12, width-8(SP)
	JGE     rare
	MOVL    CX, (R9)
	MOVL    R12, 4(R9)
	SUBL    R10, BX

given:
	ADDQ $8, R9
	MOVL R12, R14
	MOVQ DX, AX
	SHRQ $(64-const_horizontalBits), DX
	CMPL DX, $1 // the horizontal code
	JNE  vertical
	REFILL(rare)
	JMP  horizontal

	// Two runs of one code or two, not empty either.
makeUps:
	REFILL(rare)
	MOVQ R9, CX
	SUBQ row-16(SP), CX
	ANDL $4, CX
	SHLL $(const_runBits-1), CX // 0, or the size of a runTable
	LEAQ ·runTables(SB), R13
	LEAQ (R13)(CX*1), R15
	SUBQ CX, R13
	MOVQ BX, bits-24(SP)
	MOVQ AX, DX
	SHLQ $const_horizontalBits, DX
	SUBL $const_horizontalBits, BX
	MOVL R14, R12
	RUN((R15)(CX*2), first)
	CMPL R12, R14
	JLE  unfit
	MOVL R12, (R9)
	RUN((2<<const_runBits)(R13)(CX*2), second)
	CMPL R12, (R9)
	JLE  unfit
	CMPL R12, width-8(SP)
	JGE  unfit
	MOVL R12, 4(R9)
	PAIRS
	JMP  given

unfit:
	MOVQ bits-24(SP), BX

	// A horizontal code for single, behind b1's search if there were others.
rare:
	TESTL R14, R14
	JZ    leave // a0 may be left of the row, and b1 at its first pixel
	MOVL  $2, R10
	JMP   search

vertical:
	MOVQ    r+0(FP), R10
	MOVBLZX rows_scattered(R10), R10
	TESTL   R10, R10
	JZ      search

	// Among scattered dots b1 is seldom further than the third of its colour.
	CMPL    R14, 16(R8)
	JGE     search
	LEAQ    16(R8), DX
	LEAQ    8(R8), R13
	CMPL    8(R8), R14
	CMOVQLE DX, R13
	CMPL    (R8), R14
	CMOVQLE R13, R8
	LEAQ    ·codes(SB), R10
	JMP     pairs

	// b1 is the first element of its colour that lies right of a0.
search:
	VMOVD        R14, X1
	VPBROADCASTD X1, Y1

right:
	VMOVDQU   (R8), Y2
	VPCMPGTD  Y1, Y2, Y2
	VMOVMSKPS Y2, CX
	ANDL      $0x55, CX
	TZCNTL    CX, DX
	LEAQ      32(R8), R13
	LEAQ      (R8)(DX*4), R8
	TESTL     CX, CX
	JNZ       found
	MOVQ      R13, R8
	JMP       right

	// R10 says how to go on: 0 by chunks, 1 code by code, 2 not.
found:
	CMPL R10, $1
	JLT  chunks
	JGT  leave
	LEAQ ·codes(SB), R10
	JMP  pairs

short:
	VEXTRACTI128 $1, Y0, X0
	VPEXTRD      $3, X0, R14

leave:
	MOVQ r+0(FP), DI
	MOVQ p+8(FP), DX
	ANDL $63, BX
	MOVQ AX, rows_acc(DI)
	MOVQ BX, rows_n(DI)
	SUBQ (rows_in+Bits_buf)(DI), SI
	MOVQ SI, (rows_in+Bits_pos)(DI)
	MOVQ rows_line(DI), CX
	SUBQ CX, R8
	SUBQ CX, R9
	SHRQ $2, R8
	SHRQ $2, R9
	CMPQ R8, place_i(DX)
	JNE  moved
	CMPQ R9, place_k(DX)
	JEQ  done

moved:
	MOVL R14, place_a0(DX)
	MOVQ R8, place_i(DX)
	MOVQ R9, place_k(DX)

done:
	VZEROUPPER
	RET
