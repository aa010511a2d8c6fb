"""The caution that goes with every class: printed with `check`, and put in the tags of a rendered track."""

from collections.abc import Collection

from guide.sequence.poses.pose import Condition

#: Source: the usual cautions of public health bodies and of the trade (US National Library of Medicine on pregnancy,
#: blood pressure and glaucoma; Jasien et al., PLOS ONE 10(12) e0144505, 2015, on pressure in the eye; Cramer et al.,
#: PLOS ONE 8(10) e75515, 2013, on injuries). From memory: Sinaki and Mikkelsen, Arch Phys Med Rehabil 65, 1984, and
#: Sfeir et al., Mayo Clin Proc 93(7), 2018, on brittle bones and bending of the spine. The joints, the heart, surgery,
#: a hernia, epilepsy and the retina are common practice, no source.
CAUTION = (
    "This is not medical advice. Stop at pain, dizziness, shortness of breath or pressure in the chest. Ask your "
    "doctor and a qualified teacher first when you are pregnant or had surgery lately, with blood pressure too high or "
    "too low, a weak heart, brittle bones, epilepsy, a hernia, glaucoma or other trouble of the eyes, or a bad neck, "
    "back, shoulder, wrist, hip or knee; what they say goes before anything said here."
)

#: Source: American College of Obstetricians and Gynecologists, Committee Opinion 804, 2020 (from memory).
STOP_SIGNS = (
    "When you are pregnant, stop and call your doctor or midwife at any bleeding, loss of fluid, painful or regular "
    "contractions, pain in the chest or the calf, headache, faintness, or loss of breath before you have done anything."
)


def caution(conditions: Collection[Condition]) -> str:
    """The caution for a class that is to spare people with these conditions."""
    return f"{CAUTION} {STOP_SIGNS}" if Condition.PREGNANCY in conditions else CAUTION
