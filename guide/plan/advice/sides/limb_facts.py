"""How words tell a fact about a limb, whatever the pose: the leg in front, the leg that stands, the arm that is up.

Each fact has its patterns, which `patterns` reads: `+` says that the limb spoken of has the fact, `-` that it has the
opposite (behind, standing, down), `0` that nothing is said of it. The first pattern that fits decides. What a fact says
about the side of a pose is in `pose_facts`.
"""

#: The patterns of each fact, those of one sign parted by semicolons.
FACTS = {
    # Legs: + in front, - behind.
    "front": """
        0 front of @LEG; @toe ... front; beside|outside|inside|across|between @foot
        - back|rear|trailing @LEG; @LEG is your|the back|rear; @LEG the back|rear|trailing one; @LEG the one behind
        + front|leading @LEG; @LEG is your|the front; @LEG the front|leading one; @LEG the one in front
        + @LEG ... behind|beside|level ... wrist|hand|thumb|finger; @shin across|parallel|cross; @LEG ... front of
        + STEP|SEND ... @LEG ... forward|between|ahead|across|front|through; @LEG ... in front
        + @foot ... between ... hand; step|bring|walk ... @foot ... up to|hand|thumb|wrist
        + @leg|foot forward|between|ahead|through; @foot|heel ... SLIDE|come|reach forward; @heel between|through|ahead
        - @LEG ... behind|trail|stream; @leg|foot ... SEND back
        - STEP ... @leg|foot|knee|thigh|shin|heel ... back|behind|backward; point ... @toe ... back|behind
        - SEND ... @leg|foot|heel|toe ... back|behind|backward; SEND back ... @heel|foot|leg
        - back through|into|with @heel|foot|leg|toe
        0 press|push @knee
        - @leg|foot|knee far|back; @knee ... SLIDE back
        + frame ... @foot; either|both side of @foot; @shin ... parallel
        - @hip ... back leg
        + @hip ... front leg; forward ... into|over|onto @LEG
    """,
    # Legs: + bent, - straight.
    "bent": """
        0 if|or|but|little|slightly ... @LEG; bend @LEG little|slightly|softly $
        - straight|extended|long @LEG
        + bent @LEG; @heel ... seat|buttock; bend & @knee|leg|thigh; @LEG ... bent; @leg|knee deep|deeper
        + low|lower|deep|deeper|sink|settle|drop in|into|over @knee|leg|thigh|heel
        + @thigh ... level|sink|heavy|parallel
        - @leg|knee ... straight; keep|make|let|feel|leave ... @leg|knee ... straight|long|strong
        - @leg|knee straight|long|strong|firm|like; @leg is ... anchor|steady|straight
        + sink & @knee|thigh; weight|ride|charge|pour ... over|into @knee|leg
    """,
    "bends": """
        + bend & @knee|leg
    """,
    "straightened": """
        + STRAIGHTEN & @leg|knee|heel
    """,
    # The knee that stands over its heel, as the front one in a lunge.
    "stacked": """
        + @knee ... over|above ... ankle|heel|toe; @knee ... point|stacked|stack|track ... toe|ahead|forward|$
        + stack ... @knee ... ankle|heel; @knee ... right angle; @shin upright|vertical; @knee ... travel forward|out
    """,
    # Feet in a wide stance, and knees that fall open: + out, - in.
    "out": """
        - turn|point|rotate|angle ... @SOLE ... in; @foot|toe ... in $
        + turn|point|rotate|open|spin|swing ... @SOLE|leg|knee ... out; open|drop|out ... @knee; @SOLE|knee out
        + turn|point ... @SOLE ... edge|end|front|side; @knee ... open|out|away|side
    """,
    # The foot behind, of which the heel reaches or the edge is pressed down.
    "heel": """
        0 ARM|block ... @foot; forward through @heel
        + edge|outside of @foot|heel; turn|spin|PRESS ... @heel ... down|back|in; lift|reach ... @heel
        + PRESS|pin ... @heel; through ... @heel; @heel ... RISE|high|down|off|back|reach|behind|heavy|glued|stay
        + @heel ... over ... ball|toe
    """,
    # Legs: + off the floor, - standing.
    "lifted": """
        - standing|supporting|grounded @LEG; @LEG the|is ... standing|supporting; @LEG ... you|that|which stand
        + lifted|raised|floating|free|flying|light|top @LEG; @LEG the lifted|raised|floating one
        + @LEG the one in the air
        0 toward|away from @LEG; step ... @foot up; into @thigh|knee|calf|shin
        + PRESS|SETTLE ... @foot|heel ... thigh|calf|hand|shin
        - stand|balance|balancing|weight|root|ground|grow|strong|steady ... on|onto|into|in|to|through|from|of @LEG
        - root|ground|anchor|fix @leg|foot|heel; root|ground|anchor through|into|down @leg|foot|heel
        - lean|shift|sink|sit|settle|low ... into|onto|on|to|back|in ... @leg|foot|heel
        - press|push into|onto|down ... @leg|foot|heel; PRESS|sink|reach ... @foot|leg|heel|toe ... down|GROUND
        - @foot|heel ... sink|GROUND; PRESS through|down|into @foot; plant ... @foot|leg|heel
        - @LEG rooted|grounded|firm|heavy|stand|root|carry|carries|spread|hold|strong
        - @leg is ... strong|straight|steady; keep|press|let|leave|rest ... @leg|thigh ... GROUND|down|heavy|flat|long
        - keep|leave ... @foot ... GROUND|flat; @leg|thigh ... on|into|to|toward GROUND; @leg|thigh ... heavy|pressing
        + SEND ... back|out|behind|forward|up ... @heel|foot|leg
        + SEND ... @leg|foot|heel|thigh ... UP|height|behind|back; kick & @foot|heel; @leg|heel|foot|thigh UP|reach
        + SEND|LIFT ... @leg|foot|heel|knee|thigh|shin ... front|forward|straight
        + RISE|LIFT ... @leg|foot|heel|knee|thigh; @leg|foot|heel|knee|thigh ... RISE|SKY|height|higher
        + @foot come|comes down; lower ... @foot|leg ... beside|down|$; lower|release|step ... @foot|leg|toe|knee
        + open|circle ... @leg|knee|ankle|foot; @knee ... nose|chest; @LEG ... air; @hip ... lifted|raised|free leg
        + @knee ... together|underneath; @toe ... SKY
        - @hip ... standing leg; @leg ... pillar|trunk|post|anchor
        + make ... @leg ... light|long
    """,
    # The leg that kneels or lies with its knee on the floor.
    "kneeling": """
        + lower|drop|untuck|pad ... @knee|shin; rest @knee|shin; bring ... @knee|shin ... down|GROUND; under @knee
        + @knee|shin down|back|rest|on|carry|carries|GROUND; @knee ... GROUND; @knee|shin ... on|to|into GROUND
        + blanket|pad|cushion ... @knee; hips|hip|seat|thigh|sit|tall|upright|stand ... over|above @knee
        + PRESS ... through|into|with @knee|shin; untuck|uncurl ... @SOLE; tuck|curl ... @toe; top of @foot
        + kneel ... @knee|shin
    """,
    "flexed": """
        + flex ... @SOLE; pull|draw|bring ... @SOLE ... toward|back; pull ... @toe; toes of @foot ... back|toward
        + @foot flexed
    """,
    # The foot or leg that a hand or a strap holds.
    "held": """
        0 with|in|into @SOLE
        + HOLD ... @SOLE|leg|shin; reach ... for|to|toward|back @SOLE|leg|shin; HOLD|reach ... edge of @foot
        + strap|hand|finger|palm ... around|round|over|under|behind|in|on|hold|to|for @SOLE
        + PRESS|kick ... @SOLE|shin ... hand|strap; @foot|ankle ... into|in ... hand|crook|strap
        + go of|release @foot|ankle|toe; @foot|ankle ... pull|press ... arm|hand
    """,
    "sole up": """
        + @SOLE ... SKY|up
    """,
    # Lying legs: + the knee that is hugged, - the leg that lies long.
    "hugged": """
        + hug|draw|pull|hold|squeeze|bring ... @JOINT|foot ... in|chest|belly|rib|armpit|shoulder|nose|beside|down|$
        + @knee ... chest|belly|rib|armpit|shoulder
        + clasp|hand|finger|interlace ... around|round|behind|on @knee|shin|thigh
        - @leg|thigh|heel ... long|heavy|floor|straight|flat|mat
        - press|leave|keep|stretch|lengthen|slide ... @leg|thigh|heel; @foot on|flat|stay|rest
        + go of|release @knee|leg|shin|thigh
    """,
    # A foot that lies on or beside the other leg: + the foot, - the leg under it.
    "laid": """
        0 reach|hold|clasp|hand|lace|hug|draw|pull ... behind|around @LEG
        - SOLE|sole|shin|it|calf|that ... ON|into @JOINT; knee|thigh|leg ... over|on|above|onto|across @JOINT
        0 bend ... @knee
        + crossed|folded|tucked|upper @LEG; @LEG the one ... crossed|top|folded; @LEG ... crossed|on top
        + @SOLE|JOINT ON|into|high|make|behind ... JOINT|groin|shelf
        + SETTLE|lift|cross|tuck|draw|stack|hook ... @SOLE|JOINT ... ON|into|behind|around|in|high ... JOINT|groin
        + SETTLE|guide ... @SOLE ... at|toward|in hip; cross|step|set ... @foot ... across|over
        + cross|wrap|wind|hook ... @leg|thigh|foot|ankle; unwind|uncross|unhook ... @leg|thigh|foot
    """,
    # The thigh that hands hold and draw in.
    "clasped": """
        + HOLD|reach|hand|lace|interlace|thread|draw|pull|back ... behind|around|round|of @thigh|leg|shin|knee
        + draw|pull|hug|bring ... @thigh|leg|knee ... in|near|closer|toward
    """,
    # The foot that goes out to the edge of the mat.
    "foot out": """
        + STEP|toe|heel ... @foot ... outside|edge|wide; @foot outside; @foot ... edge
    """,
    # The leg that is folded or drawn up while the other is long.
    "folded": """
        0 bend ... @knee|leg; keep|leave|let ... @knee bent|soft
        + fold|tuck @leg|knee|foot|shin|heel; fold|tuck in|under|back @leg|foot|shin; @shin ... folded
        + @knee|shin bent|out|heavy|down|fall|open|sink|drop|to|away|open|fold|rest|lie|grow; @knee ... heavy
        + @SOLE against|inside|in|to|beside|tucked|back ... thigh|groin|leg|shin|hip|$
        + SETTLE|tuck|draw|fold ... @SOLE ... in|to|against|thigh|groin|inner|back|beside
        - @SOLE|leg forward|out|long|straight|firm|active|wide|strong|stay
        - STRAIGHTEN|SLIDE|shoot ... @leg|heel|thigh|foot; keep|press|let ... @leg|thigh; straight|long|extended @LEG
        - @LEG the one ... straight|long; HOLD|around ... @SOLE|shin; flex|toe ... @SOLE
    """,
    # The leg of which the knee points up and the foot stands, in sitting.
    "drawn up": """
        + bend ... @knee; @knee|foot up|flat; press|plant ... @foot ... down|$; point ... @knee ... up|ceiling
        - @leg long|straight|firm|flat; STRAIGHTEN|keep ... @leg|heel; flex ... @SOLE
        + @knee ... point ... up|SKY
    """,
    "leg out": """
        + @leg|foot out; STRAIGHTEN|SLIDE|step ... @leg|foot ... out|side; @leg|foot ... out|side; open ... @leg
    """,
    # Of two stacked legs: + the upper, - the lower.
    "top": """
        0 stack ... @SOLE $
        - @LEG ... below|under|underneath|beneath|bottom|first|lower; bottom @LEG; your|the lower @LEG
        + LEG ... under|below|beneath @LEG
        - LEG ... on|onto|over|above|of @LEG; lay|set|bring|fold|slide ... @shin|leg ... front|down|GROUND
        + top|upper @LEG; SETTLE|stack|cross|pile ... @LEG ... top|over|above|on|onto
        + @LEG over|on|above|top|highest|stack; lift|raise|pick ... @LEG
    """,
    # The leg that the trunk folds or leans over.
    "over": """
        + hand|arm ... over @LEG
        + LEAN|fall|hinge|walk|turn|lower|lie|melt|rest|drape|square|release ... over|along|toward|to|onto|inside @LEG
        + chest|belly|rib|forehead|nose|heart|torso|trunk|body ... over|along|toward|to|onto|near|on|above @LEG
        + hands ... on|to|onto @thigh|knee
    """,
    # The leg that an arm works against or goes around.
    "outside": """
        0 SOLE|sole|shin ... ON|inside @LEG
        + outside|around|round|against|beyond|hug|hold ... @knee|thigh|shin
        + ARM|palm ... across|to|on|over|around|beside @JOINT
        + press ... @knee|thigh ... against|into|back ... arm|elbow|forearm|shoulder
    """,
    # A shoulder or an arm inside a knee, and the knee outside it.
    "inside": """
        0 SOLE|sole ... inside @LEG; blanket|cushion|pad|prop ... @LEG
        + inside|within|under|beneath @knee|thigh|leg; inside of @foot|knee|thigh|leg
        + hand|forearm|shoulder|head ... inside @foot|knee; shoulder ... beside|near @knee
        + @shoulder|arm|hand ... inside|under|beneath|through ... knee|thigh|leg
        + press ... @knee ... against ... shoulder|arm
    """,
    # A leg that lies on an arm, and the arm.
    "propped": """
        + hook|lean|sling|wrap|SETTLE|LIFT ... @knee|leg|thigh ... on|onto|over|around|against ... arm|shoulder|elbow
        + @knee|leg|thigh ... on|onto|over|around|against ... arm|shoulder
    """,
    "propping": """
        + on|onto|over|around|against @arm|shoulder|elbow; squeeze ... @arm
    """,
    "kneecap": """
        + point|turn|roll ... @knee ... up|SKY
        - point|turn|roll ... @knee|thigh|toe ... down|floor; @toe|knee pointing down
    """,
    # The outer edge of the foot that carries a side plank.
    "edge": """
        + edge|side of @foot; outer @foot; balance|weight|roll|stand ... on|onto @foot|ankle; @foot ... edge|blade
        + drop|lower|bring ... @knee|shin ... hip|down|GROUND
    """,
    # Arms: + up, - down on the floor, a block or a leg.
    "raised": """
        0 head|cheek ... @ARM; @ARM ... sacrum|tailbone|pelvis; @ARM ... low|lower|behind|of back
        0 @ARM ... hip|waist|chest|heart|belly|spine; from @ARM; top of @ARM; @hand on ... hand
        0 @hand|arm|finger ... down back $; @hand|arm|finger ... down spine; HOLD ... SOLE ... @hand; beside|in @ARM
        - @ARM ... by|near|over ... SOLE|leg|shin; SETTLE|fold|walk ... @hand|arm up back; @ARM ... from below
        - @ARM ... point down; PRESS ... @ARM ... down|GROUND; @hand up your|the back
        - REACH ... @ARM down|toward GROUND; lower|bottom @ARM; @ARM the one below|beneath|under
        - SETTLE ... @hand|forearm|elbow|finger ... under|beneath ... shoulder
        + HOLD @wrist; @ARM on top; top|upper|lifted|free @ARM; REACH ... @ARM ... UP
        + @ARM UP|point|rise|float|reach|sail; @ARM ... ear|up|SKY|beams; RISE ... @ARM; @ARM ... RISE|overhead
        + REACH up|over|overhead with @ARM; open|sweep @ARM; @ARM over
        - SETTLE ... @ARM ... down|JOINT|GROUND|ankle|foot|beside|seat; PRESS ... @ARM ... down|GROUND
        - @ARM ... down|GROUND
        - roll|shift|turn|lean|press|push|stand|balance|weight|bring|stay ... onto|into|through|on|with|over @ARM
        - plant|set ... @hand|forearm
        - @ARM down|to|on|toward|rest|light|firm|heavy|under|by|press|SLIDE|carry|carries|beside
        - @ARM ... on|to ... JOINT|block|ankle|foot
    """,
    "pressing": """
        + PRESS|weight|stand|balance ... with|into|through|on|onto @ARM; PRESS ... @ARM; @hand|finger|palm PRESS
    """,
    # Arms: + to the front, - behind.
    "ahead": """
        0 @ARM ... sacrum|tailbone|pelvis; @ARM ... low|lower|behind|of back; SETTLE ... @ARM ... ahead
        0 look|gaze|glance
        + front|leading @ARM; REACH ... @ARM ... forward|ahead|front; @ARM ... forward|front|ahead
        + forward through|with @ARM
        - back|rear @ARM; @ARM ... behind; back through|with @ARM; REACH ... @ARM ... back; @ARM back
        - @ARM to|on ... back
    """,
    # The arm that is free to lie on the back.
    "at the back": """
        + @ARM ... sacrum|tailbone|pelvis; @ARM ... low|lower|behind|of back; wrap ... @ARM
        + REACH|fold ... @ARM ... behind
    """,
    # The arm that goes across to the other side's leg.
    "across": """
        + hook|cross|plant ... @elbow|arm; @ARM ... outside|across|around|round|against|beyond|over ... JOINT
        + @ARM to|on|hold|hug ... JOINT; @ARM to|on ... outside|opposite
        + @elbow ... across|cross|over|outside|past|hook
        + hug|hold|draw|wrap|SETTLE ... @elbow|hand|arm ... ON|around|round ... JOINT|it
        + hug|hold ... JOINT ... with @ARM
    """,
    # The arm that goes under or lies below.
    "under": """
        - @arm|elbow on|over|across|atop|above
        + @arm|hand|elbow slide|slip|glide|thread; @arm|hand|elbow ... under|underneath|through|below|beneath
        - under|below|beneath @arm|elbow
        + over|on|onto|above|of @arm|elbow; @shoulder|cheek|ear ... rest|GROUND|down|come
        + rest|lie ... on|onto @shoulder|ear|cheek; bring|lower ... @shoulder|ear|cheek ... GROUND
        + unthread ... @arm|hand; lower|drop|rest @shoulder|ear|cheek
    """,
    # The hand that holds a foot or a leg.
    "holding": """
        + @hand|finger HOLD|to|around|on|reach ... SOLE|edge|leg|shin; foot|ankle|toe|heel into|in @hand
        + around with @hand; HOLD|kick|press|reach|back|strap|it ... with|in|into|to @hand|finger; crook of @elbow
    """,
    "gaze up": """
        + look|gaze|eyes|glance up ... @ARM
    """,
    "gaze": """
        0 look|gaze|glance back|down|up
        + look|gaze|looking|eyes ... over|past|along|at|to|toward|beyond|out ... @ARM
    """,
    "ribs": """
        0 keep|turn ... @rib|side; side of neck|neck
        + breathe|long|open|opening|stretch|lengthen|length|feel|fill|spread|let ... @rib|side
        + @rib|side ... long|open|stretch|lengthen|spread|wide|neck
    """,
    "neck": """
        + @side ... neck
    """,
    "ear": """
        + @ear ... shoulder|sink|lower|drop|down
    """,
    # Shoulders: heavy on the floor; drawn back where the chest opens.
    "shoulder down": """
        + @shoulder ... open|wide|widen|melt|sink|peel|GROUND|heavy|down|stay|rest
    """,
    "shoulder back": """
        + roll|draw|spin|stack|open|take|pull ... @shoulder|rib ... back|open|up|top|over
        + roll|stack|open ... @hip ... up|top|over|on; @shoulder back|open; @hip ... stack|top
    """,
    # Hips.
    "seat": """
        + under @hip|side; prop|blanket|cushion|block under @thigh
        + sit|roll|settle|lean|weight ... toward|onto|on|into|over @hip; @hip settle; prop ... @hip
    """,
    "hip back": """
        + draw|pull|take|send ... @hip ... back; @hip ... back
        - @hip ... forward
    """,
    "hip down": """
        + keep|let|root|press|sink ... @hip ... down|heavy|sink|GROUND; @hip stay|heavy|down|sink
    """,
    "hip stretched": """
        + front of @hip|thigh; stretch of @hip; @hip ... one behind; @hip melt|open
    """,
    # Ways.
    "turned": """
        0 head|face|neck|gaze|eyes|look|chin|glance ... @way
        + TURN|chest|open|face|spine|heart|rib|belly|navel ... @way|room; TURN|chest|face ... toward|to @side
    """,
    "leaned": """
        + LEAN|over|sideways ... @way|room; lean|bend|tip|tilt ... toward|over @leg|knee
    """,
    "swayed": """
        + LEAN|walk|step|slide|shift|move|feet|shoulder|heel|inch|bring ... @way|room
    """,
    "fallen": """
        + knees|legs|them|sink|fall|drop|lower|float ... @way
    """,
    "feet": """
        + sweep|swing|feet|foot|legs ... @way
    """,
    "lying on": """
        + roll|lie|turn|rest|fall|lying|come ... on|onto|over|to ... @side
    """,
    # The arm that is stretched out to be eased, and the hand that eases it.
    "stretched": """
        - with @hand|finger; @hand pull|draw|hold|help|ease; use ... @hand
        + STRAIGHTEN|reach|hold ... @arm|hand; @arm|elbow|hand out|long|forward|straight|up
        + of|on @hand|finger|wrist|forearm; @forearm|wrist|finger
    """,
    # The leg that moves away from a body on its back, and the arm.
    "sent": """
        - keep|hold|leave ... @knee|leg|shin; @knee|leg stay|wait|still|over
        + STRAIGHTEN|lower|reach|slide|send|tap|hover|float ... @leg|heel|foot|toe
        + @leg|heel|foot away|long|down|out|forward; @leg|heel|foot ... skim|hover|tap|GROUND
    """,
    "arm sent": """
        - keep|hold|leave ... @arm|hand; @arm|hand stay|wait|still
        + STRAIGHTEN|lower|reach|sweep|float|send|take ... @arm|hand|finger; @arm|hand ... overhead|back|away|behind|up
    """,
    # What is read where nothing is known of the pose: only what cannot be meant otherwise.
    "weight": """
        - stand|standing|weight|balance ... on|onto|into|to @leg|foot|heel
        + lift|raise|float ... @leg|foot|knee; @leg|foot|knee lift|float|rise|up
    """,
    "arm over": """
        + reach|sweep|bring|stretch|arc ... @arm ... over|overhead; @arm sweep|reach|arc|come|float ... over|overhead
    """,
    "lean way": """
        + lean|bend|tip|tilt|leaning|bending ... @way
    """,
}
