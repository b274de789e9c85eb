//! Published limits as typed look-ups: headlaps, underlay laps, batten sections and joints, fixing patterns, edges.
