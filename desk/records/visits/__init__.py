"""What is done on a visit: the call, its life, answers, photographs, proof, stop and leave."""
