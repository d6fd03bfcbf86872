"""Kinds of connection. Direct ones mate without a cable."""

SPEAKER_2 = "twist-lock 2-pole"
SPEAKER_4 = "twist-lock 4-pole"
SPEAKER_8 = "twist-lock 8-pole"
XLR = "XLR 3-pole"
C13 = "IEC 60320 C13/C14"
C19 = "IEC 60320 C19/C20"
CEE_16 = "IEC 60309 16 A 3-pole"
CEE_32 = "IEC 60309 32 A 5-pole"
CEE_63 = "IEC 60309 63 A 5-pole"
POLE = "35 mm pole"
SOCKET = "pole socket"
FRAME = "flying frame"

CONNECTORS = {
    SPEAKER_2: False,
    SPEAKER_4: False,
    SPEAKER_8: False,
    XLR: False,
    C13: False,
    C19: False,
    CEE_16: False,
    CEE_32: False,
    CEE_63: False,
    POLE: True,
    SOCKET: True,
    FRAME: True,
}
