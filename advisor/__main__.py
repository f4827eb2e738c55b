"""python -m advisor"""

from advisor.cli.main import start

if __name__ == "__main__":
    start()
