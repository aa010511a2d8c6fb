"""How words say what part a side has in a pose: the table of patterns that `patterns` reads, a role each."""

#: The patterns of each role.
ROLES = {
    # Which leg is in front.
    "front": """
        - back|rear|trailing @LEG
        + front|leading @LEG
        - @LEG is your|the back|rear
        + @LEG is your|the front
        + @LEG is in front
        - @LEG is behind
        + STEP|bring ... @leg|foot|knee|heel ... forward|between|through|ahead
        + @leg|foot forward|between|through|ahead
        + step ... @foot ... up to|hands|thumb|wrist
        + @heel between|through|ahead
        + with ... @leg|foot ... front|forward
        + @leg|foot in front
        - STEP|send|shift|reach ... @leg|foot ... back|behind
        - STEP|send|shift ... @knee ... back
        - @leg|foot far|long|back|behind|way
        - ^ @knee far|back
        - @knee slide|slides back
    """,
    "warrior": """
        - edge|outside|side of @foot|heel|one
        - turn|press|spin ... @heel ... down|back
        - lift|reach|press ... @heel
        - through ... @heel
        - @heel high|lifted|down|off|back|reaches|behind
        - keep|make|let|feel ... @leg ... straight|long|strong
        - @leg straight|long|strong|like
        + turn|point ... @foot|toe|heel ... out
        + ^ @foot out
        - turn ... @foot ... in
        - @foot in $
        + bend ... @knee|leg
        + @knee ... over|above ... ankle|heel|toe|toes
        + @knee points|stacked|stacks
        + @thigh ... level|sink|sinks|heavy|parallel
        + sink ... @thigh
        + sink|deeper into @knee|leg
    """,
    "low lunge": """
        - lower|drop|rest|untuck ... @knee
        - @knee down|back|slides|rests|on
        - untuck ... @foot|toe
        + @knee ... over|above ... ankle|heel|toe|toes
        + @heel|foot outside
        + outside|inside @foot
    """,
    "foot out": """
        + bring|walk|set|toe|inch|step|take|move|slide ... @foot ... outside|edge
        + @foot to|at|near ... edge
    """,
    "over front": """
        + fold|bow|lean|bend|reach|fall|hinge|tip|tilt ... over|inside|along|toward ... @leg|foot|knee|thigh|shin
        + inside|within @knee|thigh|leg
        + @shoulder ... inside|under|down
        + chest|belly|ribs|forehead|nose|heart ... over|along|toward|onto ... @leg|knee|thigh|shin
    """,
    "gaze over hand": """
        + look|gaze|looking ... over|past|along ... @hand|finger|arm
    """,
    "straight front": """
        - hips|hip|seat ... over|above @knee
        - point|turn|roll ... @knee ... down|GROUND
        + straighten|stretch|lengthen ... @leg ... $
        + slide ... @heel ... forward
        + pull|draw|flex|toe ... @foot|toe|heel
        + point|turn|roll ... @knee ... up|ceiling|sky
        + under|beneath @thigh
    """,
    "pigeon": """
        + under @hip
        + flex ... @foot|ankle|toe
        + STEP ... @knee|shin ... behind|across|forward|wrist
        + @knee|shin behind|across
        + @shin ... front|across
        - slide|stretch|send ... @leg|foot ... back|long|behind|away
        - @leg long
    """,
    # The hand that is down, in poses that open sideways.
    "low hand": """
        - @hand|arm ... sacrum|tailbone
        - @hand|arm to|on|onto|behind|across ... low|lower back
        - @hand|arm ... small of ... back
        0 @ARM ... hip|waist|chest|heart|off|back|belly|spine
        0 @hand up to|onto
        - REACH ... @ARM ... UP
        - @ARM UP|beside|along|reaches|points
        - @ARM ... sky|ceiling|overhead
        - open|lift @arm
        + SETTLE ... @hand|forearm|elbow|finger ... down|shin|GROUND|thigh|block|ankle|foot|leg
        + roll|shift|turn|lean|press|push|stand|balance ... onto|into|through|on @hand
        + @hand|forearm|elbow down|to|on
        + press|push ... @hand|forearm ... down
        + SETTLE ... @hand|forearm under|beneath|below ... shoulder
    """,
    # The hand that slides down the back leg.
    "high hand": """
        + sweep|lift|reach|raise ... @ARM ... UP|back
        + @ARM|hand UP
        - slide|rest|lower|let ... @hand|arm ... down|leg|thigh
        - @hand ... back leg
    """,
    "turned": """
        0 head|face|neck|gaze|eyes|look|chin ... @way
        + TURN|chest ... @way
        - turn ... back|away ... from @way
    """,
    "elbow across": """
        - hook|bring|press|set|cross|plant ... @elbow|arm ... outside|across|beyond
        - @elbow|arm outside|across
        - foot ... outside|beyond|over|across @knee|thigh|leg
        + outside|beyond|against @knee|thigh|leg
    """,
    "hand across": """
        + @hand|arm|finger behind
        + set|place|put|bring|plant ... @hand|finger ... behind
        - foot|ankle ... outside|over|across|to|on @knee|thigh
        - @hand|arm|elbow ... to|on|outside|around|against|hold|holds|hugs|hugging ... knee|thigh
        + to|on|around|toward|outside @knee|thigh
    """,
    "knees": """
        + knees|legs|them|sink|fall|drop ... @way
        - shoulder|shoulders stays @one
        - @shoulder open|opens|wide|widen|melt|melts|sinks
        - @shoulder ... GROUND|heavy|down|stays|stay|rest|sink
    """,
    "leaned": """
        + LEAN|over ... @way
        - REACH ... @ARM ... UP|long
        - @ARM UP|long|reaches
        - REACH up|over with @ARM
        - breathe|open|lengthen|stretch|feel ... @rib|side
        - lift @ARM
        + SETTLE|hold ... @hand|finger|forearm ... down|beside|out|leg|GROUND|seat|thigh
        + @hand down|beside|walks|slides
        - keep ... @hip ... down|heavy|GROUND
        - @hip stays|heavy|down|sinks
    """,
    "arm over": """
        + reach|sweep|bring|stretch|arc ... @arm ... over|overhead
        + @arm sweep|reach|arc|come|float ... over|overhead
    """,
    "lean way": """
        + lean|bend|tip|tilt|leaning|bending ... @way
    """,
    "gate leg": """
        + stretch|extend|slide|step ... @leg|foot ... out|side
        + @leg|foot out
        - @knee on|down|under
    """,
    "ear": """
        + @ear ... shoulder|sink|sinks|lower|drop|down
        + sink|lower|drop|let|bring ... @ear
    """,
    "hugged": """
        + hug|draw|pull|hold|squeeze ... @knee|shin|leg|thigh ... $
        - @leg ... long|heavy|GROUND|down|straight
        - stretch|lengthen ... @leg
    """,
    # The leg that is off the floor. What says "standing" goes first: "lift up out of your standing leg".
    "lifted": """
        - standing|supporting|grounded @LEG
        + lifted|raised|floating|free|flying|light @LEG
        - stand|standing|balance|balancing|weight|root|rooted|ground|grow|tree ... @LEG
        - up out of @LEG
        - lean|shift|sink|press|push ... into|onto|on|to|down ... @leg|foot|heel
        - @LEG rooted|grounded|firm|heavy|stands|roots
        + flex ... @foot|ankle|toe|heel
        + press|push|kick|reach|send ... back|out|behind ... @heel|foot|leg
        + LIFT ... @leg|foot|heel|knee|one
        + cross|wind|wrap ... @leg|thigh|knee ... over|around
        + hold|catch|take|grab|reach|clasp ... @foot|toe|ankle|shin
        + bring|place|set|put|lay|rest|slide|press ... @foot|ankle|heel ... calf|thigh|knee|shin|inner
        + @foot|ankle to|on|above|against|onto|over|high ... calf|thigh|knee|shin
        + open ... @knee
        + @knee opens|out|to|turns
        + @leg|heel|foot rises|floats|lifts|up|reaches|reaching|forward|back|behind
    """,
    # The same where nothing is known of the pose: only what cannot be meant otherwise.
    "weight": """
        - stand|standing|weight|balance ... on|onto|into|to @leg|foot|heel
        + lift|raise|float ... @leg|foot|knee
        + @leg|foot|knee lifts|floats|rises|up
    """,
    "eagle arms": """
        + @arm|elbow under|below|beneath
        - @arm|elbow over
        - wrap|cross|bring ... @arm|elbow ... over
    """,
    "leg up": """
        - press|push|ground ... @foot|toe|shin ... down|GROUND
        - fold|tuck ... @leg|knee|foot|heel
        - press|push|ground ... top of @foot
        + loop|put|hook|place ... around|over @foot|arch|heel
        + around @foot|toe|heel
        + hold|catch|take|clasp ... @foot|toe|leg|shin|ankle
        + LIFT ... @thigh|knee
        + LIFT|stretch|extend|reach ... @leg|heel|foot ... up|high|ceiling|sky|height|behind
        + lift|raise ... @leg
        + @leg|heel|foot up|high
        - press|keep|let|ground ... @thigh|leg ... down|long|floor|heavy
        - @thigh|leg stays|long|pressing|heavy
    """,
    "laid over": """
        - hold|clasp|reach|draw|pull|lace|hug|hands ... behind|around @thigh|shin|knee|leg
        - draw|pull|hug|bring ... @thigh|leg|knee ... in|near|closer|toward
        + flex ... @foot|ankle|toe
        + @knee move|moves|open|opens|away|out|float|floats|sink|sinks|float|drift|drifts
        + @ankle on|above|over|across|high|onto
        + @foot|shin on|above|over|across|onto thigh|knee
        + lay|set|place|put|cross|bring|stack ... @ankle ... on|above|over|across|high|onto
        + lay|set|place|put|cross|bring|stack|lift ... @foot ... thigh|knee|hip
        - on|above|over|across|onto|to @thigh|knee
    """,
    "slid under": """
        + slide|thread|reach|draw|bring|sweep ... @arm|hand ... under|beneath|through|below
        + @arm|hand slides|slips|under|through|threads
        + @shoulder|cheek|ear ... rest|rests|GROUND
    """,
    "leg back": """
        + @leg|foot|heel back|behind|long|out
        + slide|stretch|lift|reach|send|step ... @leg|foot|heel ... back|behind|hip|up
        - @arm|hand forward|out|up
        - reach|stretch|lift ... @arm|hand ... forward|out|up|ahead
    """,
    # The turned foot of a wide stance.
    "feet": """
        + turn|point|rotate|open ... @foot|toe|heel|leg ... out
        - turn|point|rotate|angle ... @foot|toe|heel ... in
        + @foot out|forward
        - @foot ... in $
    """,
    "long ribs": """
        + breathe|long|open|stretch|lengthen|feel|fill ... @rib|side
        + @rib|side ... long|open|opens|stretch|lengthens
    """,
    "long leg": """
        0 bend ... @knee|leg
        0 keep|leave|let ... @knee bent|soft
        - fold|tuck @leg|knee|foot|shin|heel
        - @knee|shin bent|out|heavy|down|falls|opens|sinks|drops|to|away|open|fold|rest|rests
        - @foot|heel|sole against|inside|in|to ... inner|thigh|groin|leg|shin
        - set|bring|draw|place|tuck|press|slide ... @foot|heel ... in|against|thigh|groin|inner
        - keep|let|press|ground ... @hip|knee ... down|heavy|back|GROUND
        + stretch|straighten|extend|lengthen|slide|keep|press ... @leg|heel|thigh
        + @leg long|straight|out|firm|active|forward|wide
        + fold|lean|bow|reach|turn|walk|belly|chest|tip|nose ... over|along|toward|to|onto ... @LEG
        + hold|catch|take|clasp|around ... @foot|toe|shin|ankle
        + flex|toe ... @foot|toe
    """,
    "bent leg": """
        + bend ... @knee|leg
        + press|ground|plant ... @foot
        + outside|around|against|hug @knee|shin|thigh
        - @leg long|straight|firm|out|heavy|flat
        - keep|stretch|extend|lengthen|press|flex ... @leg|heel|toe|thigh
    """,
    # The leg on top, of two that are stacked.
    "top leg": """
        - @knee|thigh|shin|leg|ankle|foot below|under|underneath|beneath|bottom|first
        - lower|bottom|under|first @LEG
        - lay|set|bring|fold ... @shin|leg ... front|down|GROUND
        + stack|lay|set|bring|place|cross|pile ... @shin|ankle|knee|thigh|leg ... top|over|above|on|onto
        + @knee|thigh|shin|leg|ankle over|on|above|top|uppermost|highest
        + top|upper @LEG
    """,
    "top arm": """
        - bring|slide|fold|take|reach|send|walk|bend|wrap ... @arm|hand ... behind|below|down|low
        - bring|slide|fold|take|reach|send|walk ... @arm|hand ... up back
        - @arm|hand|elbow behind|down|below|low|under|underneath|back
        - bottom|lower @ARM
        + top|upper @ARM
        + @arm|hand|elbow up|over|high|overhead|points|ceiling|sky
        + REACH|point|press|send ... @arm|hand|elbow ... up|high|overhead|ceiling|sky
    """,
    "compass": """
        + @shoulder|arm under|inside|beneath|behind
        + under|inside|beneath|behind @knee|leg
        - hold|catch|take ... with @hand
        - @hand holds|hold|catches|takes|to ... foot|edge
        + press|set|plant ... @hand|finger ... GROUND|down|beside
        + straighten|stretch|hold|lift|extend ... @leg|foot|knee
        - @knee|leg bent|folded|down|heavy
    """,
    "stretched arm": """
        - with @hand|finger
        - @hand pulls|draws|holds|helps|eases
        - use ... @hand
        + stretch|reach|extend|hold|straighten ... @arm|hand
        + @arm|elbow|hand out|long|forward|straight|up
        + of|on @hand|finger|wrist|forearm
        + @forearm|wrist|finger
    """,
    "curved": """
        0 cross|crossed ... @LEG
        + walk|step|slide|shift|curve|lean|bend|move|feet|shoulder|heel|arc|inch|bring|over ... @way
        - breathe|open|lengthen|stretch|feel|spread|let ... @rib|side|hip
        - @rib|side open|opens|spread|lengthen|long|stretch|wide
    """,
    # The leg and the arm that move away, in a dead bug.
    "sent away": """
        - keep|hold|leave ... @knee|leg|shin
        + keep|hold|leave ... @arm|hand
        - @knee|leg stays|waits|still|over
        + @arm|hand stays|waits|still
        + lower|stretch|reach|slide|send|straighten|extend|tap|hover|float ... @leg|heel|foot|toe
        - lower|reach|stretch|sweep|float|send|extend|take ... @arm|hand|finger
        + @leg|heel|foot away|long|down|out|forward
        - @arm|hand overhead|back|away|behind|up
    """,
    "drawn in": """
        - @leg|heel long|straight|floor|heavy|out|on|along|down
        - stretch|lengthen|keep|press|ground|slide ... @leg|heel|thigh
        - @foot on|flat|stays|rests|down
        + hold|catch|draw|bring|pull|clasp|take|hug ... @foot|knee|ankle|shin|thigh
        + @knee|foot|ankle|heel|sole to|up|over|above|toward|beside|near|stacked|into
        + flex ... @foot|heel
    """,
    "bow leg": """
        - @forearm|arm|elbow across|front|forward|ahead|down|under
        - bring|set|place|lay|reach|stretch|slide|press ... @forearm|arm|elbow ... across|front|forward|down
        - keep|press|leave|let ... @leg|thigh|foot ... long|down|heavy|GROUND
        - @leg long|straight|heavy|down
        + bend ... @knee
        + hold|catch|reach|take|kick|press|clasp|draw|lift ... @ankle|foot|shin|leg
        + with @hand
        + @knee|thigh lift|lifts|off|up
        + @hand back|holds|catches|to
    """,
    "back knee": """
        + bend|fold ... @knee ... behind|back|up
        + lift|hold|reach|catch|draw|take|kick ... @foot|ankle|toe|shin
        + @foot|heel|ankle ... toward|to|into ... head|seat|elbow|crook
        + bend ... @knee
    """,
    "hooked": """
        + hook|bring|squeeze|lift|place|put|slide ... @knee|leg|thigh ... over|arm|shoulder|around
        + @knee|leg|thigh over|around|on|high
        + squeeze ... @arm
    """,
    "lying on": """
        + roll|lie|turn|rest|fall|lying|come ... on|onto|over|to ... @side
    """,
}
