"""The caution that goes with every class: printed with `check`, and put in the tags of a rendered track."""

#: Source: the usual cautions of public health bodies and of the trade (US National Library of Medicine on pregnancy,
#: blood pressure and glaucoma; Jasien et al., PLOS ONE 10(12) e0144505, 2015, on pressure in the eye; Cramer et al.,
#: PLOS ONE 8(10) e75515, 2013, on injuries); neck, wrist and knee are common practice, no source.
CAUTION = (
    "This is not medical advice. Stop if anything hurts or you feel dizzy or short of breath. "
    "If you are pregnant, or have high blood pressure, glaucoma, or trouble with your neck, wrists or knees, "
    "ask a qualified teacher and your clinician first; what they say goes before anything said here."
)
