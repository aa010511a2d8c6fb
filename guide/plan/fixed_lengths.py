"""The few lengths that the plan is made with. The checker states them again for itself."""

#: Quiet between two cues, so that no sentence runs into the next. Source: pauses of 200 to 1000 ms are heard as
#: ordinary pauses (Campione & Véronis, Speech Prosody 2002).
GAP_MS = 250

#: Quiet between two numbers of a count of seconds, which leaves no more (common practice, no source).
NUMBER_GAP_MS = 100

#: How long a number is taken to last that is not spoken yet: what it is decides only where words may lie.
USUAL_NUMBER_MS = 600

#: Time left after the words of a move or a talk, for the breath to finish (common practice, no source).
SETTLE_MS = 300

#: How long a bell has for itself before anything else sounds (common practice, no source).
BELL_LEAD_MS = 2500

#: A hold of so many breaths or more ends in a breath without words (common practice, no source).
QUIET_FROM_BREATHS = 3

#: Two dips closer together than this are one, so that chimes do not flutter up and down.
DIP_JOIN_MS = 500

#: From so much padding on, a side made longer for the other's sake is worth a note.
PADDING_NOTED_MS = 1000
