"""What people are told to do in a pose, for those whom nobody tells its name: a table of signs, common practice.

A sign is a few words that come near each other, in whatever order; `/` stands between words of which one is enough. A
word stands for its plural and its other forms as well. `dog` alone is a sign too: what people call a pose for short.
The names before them are those of the library; what carries the body has signs of its own.
"""

from guide.sequence.poses.pose import Base

#: Words of one sign are so near each other.
NEAR_WORDS = 11

TOLD: dict[str, str] = {
    "easy seat": """
        sit cross leg/shin, sit crosslegged, cross-legged, up sit/sitting/seat push/press head/hand, come up
        sit/sitting head/slow, legs crossed, hands together heart/chest/breastbone, find seat, hands thigh/lap
        eye close/closed, hand thigh sit tall
    """,
    "sitting tall": "sit tall front/edge chair/seat, sit tall feet flat floor, feet flat floor chair",
    "seated meditation": "sit quiet/quietly minute, sit silence",
    "staff": "sit leg long straight, both leg straight front, leg stretched front sit, feet flexed leg long",
    "side neck stretch": "ear shoulder, head tip/tilt/sink/drop right/left/side, left/right ear, ear heavy/sink",
    "neck stretch": "chin chest heavy back neck sit",
    "eagle arms": "arm under other elbow wrap, elbows cross wrap, hug yourself elbow lift, wrap arm palm",
    "seated side bend": """
        hand floor arm up over side, arm over lean/over/side sit/seat/rib, hand down beside arm up/over, side
        waist long arm over head, hold seat/chair arm up over, rib breathe side arm up, hand floor other arm
        over
    """,
    "easy twist": """
        hand knee other behind turn, left hand right knee, right hand left knee, twist crossed/sit, hand knee
        behind turn/twist/round, turn right hand behind, turn left hand behind
    """,
    "seated twist": """
        sit twist, foot outside thigh elbow/hug knee, leg long foot over thigh twist, hug knee hand behind,
        foot outside other knee turn/twist
    """,
    "half lord of the fishes": """
        foot outside/over/across thigh/knee elbow/hug/arm, foot cross over thigh, foot outside thigh hug,
        cross foot over other leg twist
    """,
    "seated forward fold": """
        sit leg long fold, leg long fold forward walk hand, fold over leg/thigh sit, leg straight front
        fold/forward/hinge, hold feet/shin/toes fold leg long, fold over both leg
    """,
    "head to knee": """
        sole inner/inside thigh fold/forward, foot inner/inside/inside thigh knee out/side sit/leg, foot thigh
        leg long fold, bend knee sole against thigh sit, foot in knee out leg long
    """,
    "revolved head to knee": """
        leg out side foot groin arm over, lean over long leg arm over, side bend over leg, elbow/forearm
        inside leg arm over, over straight leg arm over head, elbow/forearm knee other/right/left arm over head
    """,
    "bound angle": "soles/sole feet together sit knee open/fall/side, sole foot together heel close",
    "yin butterfly": "soles/sole feet together away diamond, sole together round hang, sole together fold forward",
    "wide-angle seated fold": "leg wide/apart sit fold/forward/walk, straddle, sit leg out wide, wide v",
    "cow face": "knee on top other stack, stack knee",
    "caterpillar": "leg long round back fold head, caterpillar",
    "boat": "lean back leg/feet lift balance sit, shin parallel floor lean back, balance sit bones leg lift",
    "pigeon": "knee behind wrist, knee forward wrist, shin front leg back long, knee wrist leg slide/back",
    "sleeping pigeon": "fold over front shin leg long back, knee wrist fold down",
    "sleeping swan": "knee behind wrist fold down bolster, swan",
    "deer": "ninety front leg back leg shin",
    "shoelace": "knee on top other knee fold",
    "dragonfly": "leg wide round fold",
    "wide child's pose": """
        knee apart/wide toe together forehead/sit/back, big toe together knee apart/wide, knee wide sit back
        heel/arm
    """,
    "child's pose": """
        sit back heel forehead, hip back heel arm/forehead, child, back onto heel, heel forehead
        floor/down/mat, hip/seat/bottom back heel
    """,
    "puppy": "hip over knee chest melt/sink/down arm forward, walk hand forward chest down hip up/high",
    "thunderbolt": "sit on heel, sit heel kneel",
    "tall kneeling": "stand on knee, kneel up tall",
    "camel": "kneel lean back hand heel, hand low back chest lift kneel, heel reach back chest kneel",
    "crow": """
        squat hand floor/down knee arm/arms, knee back/upper arm lean/lift, knee armpit lean, knees onto arm lean,
        lean forward toe/foot/feet float/lift arm
    """,
    "side crow": "squat hand side twist, twist thigh arm shelf, shelf tip/lean, thigh on arm tip/lean",
    "twisting chair": """
        chair twist/turn elbow, hook elbow outside knee, twist elbow outside/opposite knee, hand together chest/heart
        twist/turn elbow knee, chair other side twist/turn
    """,
    "forearm plank": "forearm floor/down feet/foot/toes back line, forearm step back lift",
    "kneeling wrist stretch": "finger point/turn knee lean back, hand turned/round finger knee, back hand floor finger",
    "pelvic circles": "hip circle, circle hip hand knee",
    "low lunge": """
        foot forward between hand knee down, step foot back knee down, foot between hand back knee, knee down
        hip sink/forward/heavy, foot forward knee floor lunge, back knee down, step foot through/forward
        between hand
    """,
    "dragon": "foot forward knee back far hip sink/down, dragon",
    "half split": "hip back front leg straight toes up, straighten front leg fold hip back",
    "hands and knees": "hand under shoulder knee under hip, wrist under shoulder knee",
    "cat and cow": "belly down/sink look up round/push, arch round spine, round back chin/navel",
    "bird dog": """
        arm forward opposite/other leg back, right arm left leg, left arm right leg, leg back arm forward,
        opposite arm leg
    """,
    "thread the needle": """
        arm under through shoulder, slide/thread arm under, arm under other shoulder floor/down, arm
        through/under palm up shoulder
    """,
    "downward dog": """
        hip up back knee lift, hip/bottom/tail/seat/pelvis up back, dog, knee lift hip back/high, tuck toe
        lift knee/hip, pedal heel/feet/foot, upside down v, heel down hand push hip
    """,
    "three-legged dog": "dog leg lift/up back, lift/raise leg up back hip square",
    "plank": "step back shoulder over wrist, plank, both feet back straight line",
    "hovering table": "knee hover, lift knee centimetre/inch/hover, hover",
    "side plank": "turn onto hand feet stack arm up, stack feet arm up",
    "dolphin": "forearm floor hip up back lift knee",
    "sphinx": "elbow under shoulder forearm lift/chest/forward, forearm chest lift/forward, prop elbow/forearm",
    "seal": "straight arm belly hand forward lift chest",
    "cobra": "hand under shoulder belly lift chest, elbow close chest lift, peel chest belly",
    "upward dog": "thigh off floor arm straight chest",
    "locust": "belly lift leg chest/head/arm, lift chest leg, lift head chest arm leg, arm leg lift forehead",
    "bow": "hold ankle kick belly, bend knee hold ankle/feet lift/kick",
    "prone rest": """
        lie belly hand forehead/cheek/head, cheek hand pillow/belly, pillow hand cheek/head, lie down
        front/belly, forehead on hand wiggle/rest, down turn cheek/face hand/floor belly/mat
    """,
    "mountain": """
        stand feet hip apart arm down/side/long, stand both feet heel toe, stand tall, stand still, feet hip
        stand front mat, weight feet stand even/both, feel feet stand
    """,
    "equal standing": "stand feet together, feet together arm side stand",
    "upward salute": "stand arm up palm, arm up overhead look up",
    "standing side bend": "stand arm up over lean/bend/side, wrist hold lean side stand, side bend stand",
    "standing forward fold": """
        fold forward hand floor stand, fold over leg knee bend hang, fold down hand floor, fold hinge hip hand
        floor, fold head hang
    """,
    "rag doll": "hold elbow hang, hang head elbow, hang knee soft/bent, rag doll, swing hang",
    "half standing forward fold": "half/halfway lift back flat/long",
    "chair": "bend knee sit back arm up, sit back chair knee bend arm, as if chair sit, hip back down knee bend arm",
    "goddess": "feet wide toes out bend knee, knee bend wide toe out elbow",
    "garland": "squat elbow knee, squat heel hip low, squat",
    "high lunge": """
        heel lift/up torso arm up/overhead, back heel off front knee bend arm up, lunge torso up arm, back
        knee lift arm up lunge, step back bend front knee heel up
    """,
    "twisting high lunge": """
        lunge hand chest twist/turn, elbow outside thigh/knee twist/turn lunge, elbow thigh turn chest hand
    """,
    "warrior one": "back heel down hip forward arm up bend, back foot in arm up front knee bend, warrior one",
    "warrior two": """
        arm wide/apart/out front hand/finger look/eye bend, open hip side arm wide, arm wide knee bend foot,
        look/gaze over front hand/finger, back heel down open arm
    """,
    "reverse warrior": """
        front arm up back hand leg/thigh, back hand down thigh front arm up, lean back arm up knee bend
    """,
    "extended side angle": """
        forearm thigh arm over/up, elbow thigh arm over ear, forearm front thigh, forearm knee arm over, hand
        floor inside foot arm over ear
    """,
    "triangle": """
        leg straight reach tip/tilt/hand shin, hand shin/block arm up leg, reach forward tip hand down arm up,
        front leg straight reach
    """,
    "warrior three": """
        lean forward leg lift back balance, back leg lift body forward/parallel, leg floats behind lean
        forward
    """,
    "half moon": "hand floor lift leg open hip arm up balance",
    "pyramid": "fold over front leg straight, front leg straight fold leg, hip square fold front leg",
    "wide-legged forward fold": "feet wide/apart fold hand/head, wide leg fold, legs wide fold forward head",
    "wide-legged stance": "step/feet wide apart turn side arm, jump wide",
    "tree": """
        sole/foot calf/thigh/ankle balance, foot inner/inside/inside thigh/calf/shin stand, sole
        ankle/calf/thigh stand/standing, standing leg foot calf/thigh/ankle/shin, knee out side foot calf,
        foot inside standing leg
    """,
    "eagle": "cross thigh bend wrap, leg over other knee bend arm wrap, wrap leg arm",
    "dancer": "hold foot behind kick arm forward, ankle hold behind stand kick",
    "standing knee hug": "stand knee up hold/hug, hug knee stand, knee lift shin hold weight leg",
    "standing hand to big toe": """
        knee out side hold stand, knee out side hand/toe balance/hip, knee open out side stand hold,
        hold big toe leg out stand, leg forward toe hold stand
    """,
    "standing figure four": "ankle over knee sit stand",
    "wall downward dog": """
        hand top chair/backrest/wall walk back, hand wall/chair walk/step back hip/arm, arm straight back
        flat/table hip away
    """,
    "final rest": """
        legs long palm up eye, feet fall/flop/apart/outward arm/palm, nothing more/else/left to do, lie back
        legs long arm, leg long feet apart/fall, feet fall/roll out, blanket over lie, lie still, arm away
        body palm, blanket lie cold/warm/cool, let leg go long arm, close eye arm palm lie
    """,
    "side-lying rest": """
        roll over side, roll onto side, roll right/left/one side, turn onto/to right/left/one side lie, right side head
        arm, roll side knee, onto right side, over right side, curled up, curl
        side
    """,
    "constructive rest": "knee lean together feet wide, feet floor knee together lie",
    "full-length stretch": "stretch arm overhead/head leg long lie, reach arm head long lie",
    "pelvic tilt": "tilt pelvis low back floor press, press low back floor",
    "one knee to chest": "one knee chest hug, right knee chest/in, left knee chest/in",
    "knees to chest": """
        hug knees, knees chest both/draw/hold/hug, knees in chest/belly, knees to chest, hold knees rock,
        knees belly rock, both knee in hold, draw both knee
    """,
    "happy baby": "hold feet knee armpit, outside/outer feet knee apart sole ceiling, hold feet sole up, baby",
    "lying twist": """
        knees fall/drop/sink/tip/over right/left/side, knees to right/left, knees both fall/over, knees other
        side over, arm t/wide knees, head other/opposite way knees
    """,
    "windshield wipers": "knee side to side feet wide, wipe knee, knee wiper",
    "bridge": """
        feet floor hip/pelvis/bottom lift, lift/roll/peel hip/pelvis/spine, heel press hip lift, feet
        bottom/seat/pelvis lift, hip lift up back piece/bone/vertebra, feet close hip/bottom knee bent
    """,
    "supported bridge": """
        block/bolster/cushion under lift hip/pelvis, push/slide/slip block/bolster/cushion under,
        block/bolster under sacrum/pelvis/hip, block slip/slide under lift, set down block
    """,
    "fish": "elbow chest lift crown floor lie",
    "supported fish": """
        bolster/block under/along spine/back lie back, lie back over bolster, lie back bolster spine chest
        open
    """,
    "reclining bound angle": "sole together lie knee open/side/fall, lie back sole together, soles knees fall lie",
    "reclining hand to big toe": """
        leg up strap/hold/thigh lie straight, strap foot leg up, leg straight up strap/belt
    """,
    "reclining figure four": """
        ankle over/on knee/thigh, ankle other/opposite knee/thigh, ankle across thigh/knee, figure four,
        thread hand behind thigh
    """,
    "legs up the wall": "leg up wall, leg wall swing",
    "legs on a chair": "calf/calves on chair/seat, leg on chair/seat lie, lower leg on chair/seat",
    "supported final rest": "bolster under knee lie blanket, bolster under knee leg feet fall",
    "inclined rest": "lean back bolster slope, lie back bolster block slope",
    "supported reclining bound angle": "sole together bolster lie back knee, bolster behind lie back sole",
    "mountain brook": "roll under neck bolster knee lie",
    "supported side-lying rest": "side blanket/bolster/cushion between knee head",
    "prone twist on a bolster": """
        hip side against bolster turn belly/chest down, side hip bolster lie down twist/turn
    """,
    "supported seated fold": "fold bolster leg forehead chair/bolster sit rest",
    "lizard": "elbow/forearm inside foot lunge, both hand inside foot lunge elbow",
    "crocodile": "belly lie forehead arm breathe heels apart",
    "cow face arms": "one arm up one down behind back clasp finger, hand meet behind back",
    "supported child's pose": """
        bolster between thigh/knee lie/lay/down, fold over bolster knee wide, hug bolster knee, lay front down
        over bolster, lie over bolster head side
    """,
    "twist on a chair": """
        chair twist/turn hand, hand knee back chair turn, turn back rest/backrest hand, sideways chair, hold
        backrest turn/grow
    """,
    "seated figure four": "ankle knee chair/sit/seat, ankle on other knee sit lean",
    "chair forward fold": """
        elbow thigh hang forward, hang forward leg chair, hand down inside leg hang head, fold over thigh
        chair, round down between knee
    """,
    "chair cat and cow": "hand knee arch round sit/chair",
    "seated leg stretch": "leg straight out heel floor chair/sit/edge lean",
    "seated knee lift": "lift knee chair sit foot",
    "ankle circles": "circle ankle/foot/feet, ankle circle",
    "wrist circles": "circle wrist/hand, wrist circle",
    "shoulder circles": "shoulder circle/roll, roll shoulder",
    "forearm stretch": "arm forward finger pull back other hand, fingers pull wrist palm",
}

CARRIED: dict[Base, str] = {
    Base.STANDING: "stand up/feet/front, come up stand, roll up vertebra/bone/stand, stand mat, standing",
    Base.SEATED: "come sit, sit down, sit up, sit floor, seat, up to sit, sit chair, sitting",
    Base.ALL_FOURS: "hands and knees, all four, onto hand knee",
    Base.PRONE: "lie belly, onto belly, down belly, lie front",
    Base.SUPINE: "lie back, onto back, lie down, on your back, roll down back, lie",
    Base.KNEELING: "kneel, sit heel",
}
