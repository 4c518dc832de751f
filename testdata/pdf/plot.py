import matplotlib

matplotlib.use("pdf")
import matplotlib.pyplot as plt

figure = plt.figure(figsize=(3, 2))
axes = figure.add_subplot()
axes.bar([1, 2, 3], [2, 3, 1], color=["#b03060", "0.5", "#20608080"])
axes.set_title("Ink")
figure.savefig("plot.pdf", metadata={"CreationDate": None, "Creator": None, "Producer": None})
