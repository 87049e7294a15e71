def write(problems, kept): return ''
def replace(p,t): pass
