"""How words tell a fact about a limb, whatever the pose: the leg in front, the leg that stands, the arm that is up.

Each fact has its patterns, which `patterns` reads: `+` says that the limb spoken of has the fact, `-` that it has the
opposite (behind, standing, down), `0` that nothing is said of it. The first pattern that fits decides. What a fact says
about the side of a pose is in `pose_facts`.
"""

#: The patterns of each fact.
FACTS = {
    # Legs: + in front, - behind.
    "front": """
        0 front of @LEG
        - back|rear|trailing @LEG
        + front|leading @LEG
        - @LEG is your|the back|rear
        + @LEG is your|the front
        - @LEG the back|rear|trailing one
        + @LEG the front|leading one
        + @LEG ... behind|beside|level ... wrist|hand|thumb|finger
        + @LEG the one in front
        - @LEG the one behind
        + SEND ... @LEG forward|ahead
        + STEP ... @LEG ... forward|between|ahead|across|front|through
        + step ... @foot ... up to|hand|thumb|wrist
        + @LEG ... in front
        + @leg|foot forward|between|ahead|through
        + @heel between|through|ahead
        + @LEG ... to|in|at|toward front
        + @shin across|parallel
        + with ... @leg|foot ... front|forward
        - @LEG ... behind|trail|stream
        - STEP ... @LEG ... back|behind|backward|away
        - SEND ... @leg|foot|heel|toe ... back|behind|backward|away
        - SEND back ... @heel|foot|leg
        - back through|into|with @heel|foot
        0 press|push @knee
        - @leg|foot|knee far|back|way
    """,
    # Legs: + bent, - straight.
    "bent": """
        0 if|or|but|little|slightly ... @LEG
        - straight|extended|long @LEG
        + bent @LEG
        + bend ... @knee|leg|thigh
        + @knee|leg bent|bend
        + @LEG ... bent
        - @LEG ... straight
        + sink|deeper into|over @knee|leg|thigh|heel
        + @thigh ... level|sink|heavy|parallel
        - keep|make|let|feel|leave ... @leg|knee ... straight|long|strong
        - @leg|knee straight|long|strong|firm|like
    """,
    "straightened": """
        + straighten|stretch|lengthen|extend ... @leg|knee|heel
    """,
    # The knee that stands over its heel, as the front one in a lunge.
    "stacked": """
        + @knee ... over|above ... ankle|heel|toe
        + @knee points|stacked|stack|track ... toe|ahead|forward|$
        + stack ... @knee ... ankle|heel
        + @knee ... right angle
        + @shin upright|vertical
    """,
    # Feet in a wide stance: + turned out, - turned in.
    "out": """
        - turn|point|rotate|angle ... @SOLE ... in
        + turn|point|rotate|open|spin|swing ... @SOLE|leg|knee ... out
        + turn|point ... @SOLE ... edge|end|front|side
        + @SOLE|knee out
        - @foot|toe ... in $
    """,
    # The foot behind, of which the heel reaches or the edge is pressed down.
    "heel": """
        + edge|outside of @foot|heel
        + turn|press|spin|root|ground ... @heel ... down|back
        + lift|reach ... @heel
        + through ... @heel
        + @heel ... high|lifted|down|off|back|reaches|behind|heavy
    """,
    # Legs: + off the floor, - standing.
    "lifted": """
        - standing|supporting|grounded @LEG
        + lifted|raised|floating|free|flying|light|top @LEG
        - @LEG the|is ... standing|supporting
        - @LEG you|that|which stand
        + @LEG the lifted|raised|floating one
        + @LEG the one in the air
        - toward|away from @LEG
        - stand|standing|balance|balancing|weight|root|rooted|ground|grow|tree ... @LEG
        - up out of @LEG
        - lean|shift|sink|sit|settle ... into|onto|on|to|back ... @leg|foot|heel
        - press|push into|onto|down ... @leg|foot|heel
        - press|push ... @foot|leg|heel ... down|GROUND
        - @LEG rooted|grounded|firm|heavy|stand|roots|carries|spread|holds
        - plant ... @foot|leg|heel
        + SEND ... back|out|behind|forward|up ... @heel|foot|leg
        + SEND ... @leg|foot|heel|thigh ... UP|height|behind|back
        + kick ... @foot|heel
        + LIFT ... @leg|foot|heel|knee|thigh|shin
        + @leg|heel|foot|thigh rise|float|lift|up|high|reach|fly|climb
        + @leg|foot|heel ... rise|sky|ceiling|height|hover
        + @foot come|comes down
        + lower ... @foot|leg ... beside|down|$
    """,
    # The leg that kneels or lies with its knee on the floor.
    "kneeling": """
        + lower|drop|rest|untuck|pad ... @knee|shin
        + @knee|shin down|back|slides|rest|on|carries|GROUND
        + @knee ... GROUND
        + hips|hip|seat ... over|above @knee
        + hip ... over|above its|that @knee
        + under @knee
        + blanket|pad|cushion ... @knee
        + untuck ... @SOLE
    """,
    "flexed": """
        + flex ... @SOLE
        + pull|draw|point ... @SOLE ... toward|back
        + pull ... @toe
        + toes of @foot
    """,
    # The foot or leg that a hand or a strap holds.
    "held": """
        0 with|in|into @SOLE
        + hold|catch|take|grab|clasp|loop|grip ... @SOLE|leg|shin
        + reach for|to|toward @SOLE|leg|shin
        + strap|hand|finger|palm ... around|over|under|behind|in|on|holds|to @SOLE
        + kick|press|push ... @SOLE|shin ... hand|strap
        + @foot|ankle ... into|in ... hand
        + @SOLE ... sky|ceiling
    """,
    # Lying legs: + the knee that is hugged, - the leg that lies long.
    "hugged": """
        + hug|draw|pull|hold|squeeze|bring|hook ... @JOINT|foot ... in|chest|belly|rib|armpit|shoulder|arm|nose|$
        + @knee ... chest|belly|rib|armpit|shoulder
        - @leg|thigh|heel|knee ... long|heavy|floor|straight|flat|mat
        - press|leave|keep|stretch|lengthen|slide ... @leg|thigh|heel
        - @foot on|flat|stays|rests
    """,
    # A foot that lies on or beside the other leg: + the foot, - the leg under it.
    "laid": """
        0 reach|hold|clasp|hand|lace|hug|draw|pull ... behind|around @LEG
        - SOLE|sole|shin|it|calf|that ... ON @JOINT
        - knee|thigh|leg ... over|on|above|onto|across @thigh|knee|leg
        0 bend ... @knee
        + crossed|folded|tucked|upper @LEG
        + @LEG the one ... crossed|top|folded
        + @LEG ... crossed|on top
        + @SOLE|JOINT ON|into|high|makes ... JOINT|groin|hip|shelf
        + SETTLE|lift|cross|tuck|draw|fold|stack|hook ... @SOLE|JOINT ... ON|into|around|in|high ... JOINT|groin|hip
        + cross|wrap|wind|hook ... @leg|thigh|foot|ankle
    """,
    # The thigh that hands hold and draw in.
    "clasped": """
        + reach|hold|clasp|hand|lace|hug|draw|pull|back ... behind|around|of @thigh|leg|shin|knee
        + draw|pull|hug|bring ... @thigh|leg|knee ... in|near|closer|toward
    """,
    # The foot that goes out to the edge of the mat.
    "foot out": """
        + STEP|toe|heel ... @foot ... outside|edge|wide
        + @foot outside
        + @foot ... edge
    """,
    # The leg that is folded or drawn up while the other is long.
    "folded": """
        0 bend ... @knee|leg
        0 keep|leave|let ... @knee bent|soft
        + fold|tuck @leg|knee|foot|shin|heel
        + @knee|shin bent|out|heavy|down|falls|opens|sinks|drops|to|away|open|fold|rest|lies|grow
        + @knee ... heavy
        + @knee|foot up|flat
        + press ... @foot ... down
        + @SOLE against|inside|in|to|beside|tucked|back ... thigh|groin|leg|shin|hip|$
        + SETTLE|tuck|draw|fold ... @SOLE ... in|against|thigh|groin|inner|back|beside
        - @SOLE|leg forward|out|long|straight|firm|active|wide|strong
        - stretch|straighten|extend|lengthen|slide|shoot ... @leg|heel|thigh|foot
        - keep|press|let ... @leg|thigh
        - straight|long|extended @LEG
        - @LEG the one ... straight|long
        - hold|catch|take|clasp|around ... @SOLE|shin
        - flex|toe ... @SOLE
    """,
    # Of two stacked legs: + the upper, - the lower.
    "top": """
        0 stack ... @SOLE $
        - @LEG ... below|under|underneath|beneath|bottom|first|lower
        - lower|bottom|under|first @LEG
        - on|onto|over|above|top of @LEG
        - lay|set|bring|fold|slide ... @shin|leg ... front|down|GROUND
        + top|upper @LEG
        + stack|lay|set|bring|place|cross|pile ... @LEG ... top|over|above|on|onto
        + @LEG over|on|above|top|uppermost|highest|stack
    """,
    # The leg that the trunk folds or leans over.
    "over": """
        + fold|bow|lean|bend|reach|fall|hinge|tip|tilt|walk|turn ... over|along|toward|to|onto|inside @LEG
        + chest|belly|rib|forehead|nose|heart|torso|trunk ... over|along|toward|to|onto @LEG
    """,
    # The leg that an arm works against or goes around.
    "outside": """
        0 foot|ankle|heel|sole|shin ... on|onto|over|outside|to|against|inside|beside @LEG
        + outside|around|against|beyond|hug|holds ... @knee|thigh|shin
        + elbow|arm|hand|forearm|finger|palm ... across|to|on|over|around|beside @knee|thigh|shin|leg
        + press ... @knee|thigh ... against|into|back ... arm|elbow|forearm|shoulder
        + hands ... beside @thigh|knee
    """,
    # A shoulder or an arm inside a knee, and the knee outside it.
    "inside": """
        0 foot|ankle|heel|sole ... inside @LEG
        + inside of @knee|thigh|leg
        + inside|within|under|beneath @knee|thigh|leg
        + @shoulder|arm|hand ... inside|under|beneath|through ... knee|thigh|leg
        + press ... @knee ... against ... shoulder|arm
        + squeeze ... @arm|thigh
        + hook|bring|squeeze|lift|place|put|slide ... @knee|leg|thigh ... over ... arm|shoulder
        + over|on ... @arm|shoulder
        + @knee|leg|thigh ... over|around|on ... arm|shoulder
    """,
    "kneecap": """
        + point|turn|roll ... @knee ... up|ceiling|sky
        - point|turn|roll ... @knee|thigh|toe ... down|floor
        - @thigh rolls in
        + @knee ... up|ceiling|sky
        - @toe|knee pointing down
    """,
    # The outer edge of the foot that carries a side plank.
    "edge": """
        + edge|side of @foot
        + @foot ... edge|blade
        + drop|lower|bring ... @knee|shin ... hip|down|GROUND
    """,
    # Arms: + up, - down on the floor, a block or a leg.
    "raised": """
        0 BACK_OF
        0 @ARM ... hip|waist|chest|heart|belly|spine
        0 @hand up to|onto
        - SETTLE|fold ... @hand|arm up back
        - @hand up your back
        - REACH ... @ARM down|toward GROUND
        0 from @ARM
        0 top of @ARM
        0 hold|catch|clasp ... foot|ankle|toe ... @hand
        - lower|bottom @ARM
        - @ARM the one below|beneath|under
        + top|upper|lifted|free @ARM
        - SETTLE ... @hand|forearm|elbow|finger ... under|beneath|below ... shoulder
        + REACH ... @ARM ... UP
        + @ARM UP|points|rise|float|reach|sail|beside ... ear|up|sky|ceiling|over|$
        + @ARM float|rise|fly|UP|sail|reaches
        + @ARM ... sky|ceiling|overhead|beams
        + @ARM beside|along|past|next|by ... ear
        + open|lift|raise|float|sweep|fly @ARM
        + REACH up|over|overhead with @ARM
        - SETTLE ... @ARM ... down|shin|GROUND|thigh|block|ankle|foot|leg|beside|seat
        - press|push ... @ARM ... down|GROUND
        - roll|shift|turn|lean|press|push|stand|balance|weight ... onto|into|through|on|with|over @ARM
        - weight ... out|off ... @hand
        - plant|set ... @hand|forearm
        - @ARM down|to|on|toward|rest|light|firm|heavy|under|by|press|slide|walk|carry|carries|beside
        - @hand|forearm|elbow|finger|arm ... block|GROUND
    """,
    "pressing": """
        + press|push ... with|into|through @ARM
        + press|push ... @ARM
        + @hand|finger|palm press|push
    """,
    # Arms: + to the front, - behind.
    "ahead": """
        0 BACK_OF
        0 SETTLE ... @ARM ... ahead
        + front|leading @ARM
        - back|rear @ARM
        - @ARM ... behind
        - set|place|put|bring|plant|walk ... @ARM ... behind
        + REACH ... @ARM ... forward|ahead|front
        + @ARM ... forward|front|ahead
        + forward through|with @ARM
        - back through|with @ARM
        - REACH ... @ARM ... back
        - @ARM back
        - @ARM to ... back
        - @ARM ... back of ... chair
    """,
    # The arm that is free to lie on the back.
    "at the back": """
        + BACK_OF
        + @ARM ... sacrum|tailbone|pelvis
        + wrap ... @ARM
        + REACH|fold ... @ARM ... behind
    """,
    # The arm that goes across to the other side's leg.
    "across": """
        + hook|cross|plant ... @elbow|arm
        + @elbow|hand|arm|forearm|finger ... outside|across|around|against|beyond|over ... knee|thigh|shin|leg
        + @elbow|hand|arm|forearm|finger to|on|holds|hug|hold ... knee|thigh|shin
        + @elbow|hand|arm|forearm to|on ... outside|opposite
        + hug|hold|draw|SETTLE ... @elbow|hand|arm ... ON|around ... JOINT|it
        + hug|hold ... knee|thigh|shin|leg ... with @arm|hand|elbow
        + @elbow across|over|outside
    """,
    # The arm that goes under or lies below.
    "under": """
        - @arm|elbow on|over|across|atop|above
        - wrap|cross|bring|hook ... @arm|elbow ... over|on|top
        + @arm|hand|elbow slide|slip|under|through|thread|below|beneath
        + slide|thread|reach|draw|bring|sweep|slip ... @arm|hand ... under|beneath|through|below
        - under|below|beneath @arm|elbow
        + over|on|onto|above|of @arm|elbow
        + @shoulder|cheek|ear|temple ... rest|GROUND|down|come
    """,
    # The hand that holds a foot or a leg.
    "holding": """
        + @hand|finger hold|catch|take|to|around|on|reach ... foot|ankle|toe|edge|leg|shin
        + hold|catch|take|kick|press|reach|grab|clasp|strap|it ... with|in|into|to @hand|finger
        + foot|ankle|toe|heel into|in @hand
        + around with @hand
    """,
    "gaze": """
        0 look|gaze|glance back|down|up
        + look|gaze|looking|eyes ... over|past|along|at|to|toward|beyond ... @ARM
    """,
    "ribs": """
        0 keep|turn ... @rib|side
        + breathe|long|open|stretch|lengthen|feel|fill|spread|let ... @rib|side
        + @rib|side ... long|open|stretch|lengthen|spread|wide
    """,
    "ear": """
        + @ear ... shoulder|sink|lower|drop|down
        + sink|lower|drop|let|bring ... @ear
    """,
    # Shoulders: heavy on the floor; drawn back where the chest opens.
    "shoulder down": """
        - shoulder|shoulders stays @shoulder
        + @shoulder open|wide|widen|melt|sink|peel
        + @shoulder ... GROUND|heavy|down|stay|rest|sink
    """,
    "shoulder back": """
        + roll|draw|spin|stack|open|take|pull ... @shoulder|rib ... back|open|up|top|over
        + @shoulder back|open
        + over|on|top of ~shoulder ... @shoulder
    """,
    # Hips.
    "seat": """
        + under @hip
        + sit|roll|settle|lean|weight ... toward|onto|on|into|over @hip
        + @hip settle
    """,
    "hip back": """
        + draw|pull|take|send ... @hip ... back
        - @hip ... forward
    """,
    "hip down": """
        + keep|let|root|press|sink ... @hip ... down|heavy|sink|GROUND
        + @hip stays|heavy|down|sinks
    """,
    "hip stretched": """
        + front of @hip|thigh
        + stretch of @hip
        + @hip ... one behind
        + @hip melt|open
    """,
    # Ways.
    "turned": """
        0 head|face|neck|gaze|eyes|look|chin|glance ... @way
        + TURN|chest|open ... @way
        - turn ... back|away ... from @way
    """,
    "leaned": """
        + LEAN|over ... @way
    """,
    "swayed": """
        + walk|step|slide|shift|curve|lean|bend|move|feet|shoulder|heel|arc|inch|bring|over ... @way
    """,
    "fallen": """
        + knees|legs|them|sink|fall|drop|lower ... @way
    """,
    "feet": """
        + sweep|feet|foot|legs ... @way
    """,
    "lying on": """
        + roll|lie|turn|rest|fall|lying|come ... on|onto|over|to ... @side
    """,
    # The arm that is stretched out to be eased, and the hand that eases it.
    "stretched": """
        - with @hand|finger
        - @hand pull|draw|hold|help|ease
        - use ... @hand
        + stretch|reach|extend|hold|straighten ... @arm|hand
        + @arm|elbow|hand out|long|forward|straight|up
        + of|on @hand|finger|wrist|forearm
        + @forearm|wrist|finger
    """,
    # The leg that moves away from a body on its back.
    "sent": """
        - keep|hold|leave ... @knee|leg|shin
        - @knee|leg stays|waits|still|over
        + lower|stretch|reach|slide|send|straighten|extend|tap|hover|float ... @leg|heel|foot|toe
        + @leg|heel|foot away|long|down|out|forward
    """,
    "arm sent": """
        - keep|hold|leave ... @arm|hand
        - @arm|hand stays|waits|still
        + lower|reach|stretch|sweep|float|send|extend|take ... @arm|hand|finger
        + @arm|hand overhead|back|away|behind|up
    """,
    # What is read where nothing is known of the pose: only what cannot be meant otherwise.
    "weight": """
        - stand|standing|weight|balance ... on|onto|into|to @leg|foot|heel
        + lift|raise|float ... @leg|foot|knee
        + @leg|foot|knee lift|float|rise|up
    """,
    "arm over": """
        + reach|sweep|bring|stretch|arc ... @arm ... over|overhead
        + @arm sweep|reach|arc|come|float ... over|overhead
    """,
    "lean way": """
        + lean|bend|tip|tilt|leaning|bending ... @way
    """,
}
