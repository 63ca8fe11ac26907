"""What curators write, read and checked: a KnowledgeBase of makers, statements, rules, specimens and cases."""
