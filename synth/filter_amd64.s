#include "textflag.h"

// SPREAD copies one of the taps to all four places of a register.
#define SPREAD(N, X) \
	MOVSS  4*N(DX), X  \
	SHUFPS $0x00, X, X

// TAP adds one tap times four samples to the sum.
#define TAP(N, X) \
	MOVUPS 32-4*N(SI), X11 \
	MULPS  X, X11          \
	ADDPS  X11, X10

// func filterFours(dst, src *float32, fours int, h *[taps + 1]float32)
TEXT ·filterFours(SB), NOSPLIT, $0-32
	MOVQ dst+0(FP), DI
	MOVQ src+8(FP), SI
	MOVQ fours+16(FP), CX
	MOVQ h+24(FP), DX
	SPREAD(0, X0)
	SPREAD(1, X1)
	SPREAD(2, X2)
	SPREAD(3, X3)
	SPREAD(4, X4)
	SPREAD(5, X5)
	SPREAD(6, X6)
	SPREAD(7, X7)
	SPREAD(8, X8)
	SPREAD(9, X9)
	MOVUPS (DI), X12 // the last four

next:
	ADDQ   $16, DI
	MOVUPS 32(SI), X10
	MULPS  X0, X10
	TAP(1, X1)
	TAP(2, X2)
	TAP(3, X3)
	TAP(4, X4)
	TAP(5, X5)
	TAP(6, X6)
	TAP(7, X7)
	TAP(8, X8)
	MULPS  X9, X12
	ADDPS  X10, X12
	MOVUPS X12, (DI)
	ADDQ   $16, SI
	DECQ   CX
	JNZ    next
	RET
